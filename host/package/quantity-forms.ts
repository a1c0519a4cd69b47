/** What kind of quantity stands at each key of a rig file: asked of the loader itself, by noting what it reads of the examples. */
import { type FieldReader, fieldReader } from '../rig/fields.ts';
import { resolveRig } from '../rig/resolve/rig.ts';
import { readShape } from '../rig/shape.ts';
import type { Path } from '../rig/source.ts';
import type { QuantityForm } from './quantity-pattern.ts';
import { exampleRigs, keyOf } from './rig-examples.ts';

/** Of whatever the channel measures, or is asked. */
const VARYING =
  /^(channels\.\*\.(calibration|range|unit|uncertainty)|limits\[\]\.(above|below|risingFasterThan|fallingFasterThan|clear)|acceptance\[\]\.(from|to))/;

/** By key, for each key that holds a quantity of one kind. */
export function quantityForms(): ReadonlyMap<string, QuantityForm> {
  const forms = new Map<string, QuantityForm>();
  for (const rig of exampleRigs()) {
    const { shape } = readShape(rig);
    if (shape === undefined) throw new Error('an example of docs/rig-file.md is no rig file');
    const note = (path: Path, form: QuantityForm): void => {
      const key = keyOf(path);
      if (!VARYING.test(key)) forms.set(key, form);
    };
    resolveRig(shape, noting(note), () => undefined);
  }
  return forms;
}

function noting(note: (path: Path, form: QuantityForm) => void): FieldReader {
  const reader = fieldReader(() => undefined);
  const usual = (dimension: QuantityForm['dimension']) => (dimension === 'pressure' ? 'any' : 'none');
  return {
    uncertain: (path, text, dimension, limit) => {
      note(path, { dimension, reference: usual(dimension), value: true, uncertainty: true });
      return reader.uncertain(path, text, dimension, limit);
    },
    plain: (path, text, dimension, limit) => {
      note(path, { dimension, reference: usual(dimension), value: true, uncertainty: false });
      return reader.plain(path, text, dimension, limit);
    },
    level: (path, text, dimension) => {
      note(path, { dimension, reference: usual(dimension), value: true, uncertainty: false });
      return reader.level(path, text, dimension);
    },
    amount: (path, text, dimension) => {
      note(path, { dimension, reference: 'none', value: true, uncertainty: false });
      return reader.amount(path, text, dimension);
    },
    pressureOf: (path, text, reference, uncertainty) => {
      note(path, { dimension: 'pressure', reference, value: true, uncertainty: uncertainty === 'required' });
      return reader.pressureOf(path, text, reference, uncertainty);
    },
    spread: (path, text, dimension, spanSi) => {
      note(path, { dimension, reference: 'none', value: false, uncertainty: true });
      return reader.spread(path, text, dimension, spanSi);
    },
    unit: (path, text, dimension) => reader.unit(path, text, dimension),
  };
}
