import type { ChannelShape } from '../schema/channels.ts';
import { type ResolvedConversion, UNRESOLVED } from './context.ts';
import { checkReferences, levelAt, type MeasuredContext } from './level.ts';

/** Of the full current, so that a shunt which just reaches it is not refused for its last binary digit. */
const ROUND_OFF = 1e-9;

export function resolveLoop(of: MeasuredContext, written: NonNullable<ChannelShape['loop']>): ResolvedConversion {
  const { path, fields, report } = of;
  const at = [...path, 'loop'];
  const shuntOhm = fields.amount([...at, 'shunt'], written.shunt, 'resistance');
  const referenceV = fields.amount([...at, 'reference'], written.reference, 'voltage');
  const at4mA = levelAt(of, ['loop', 'at4mA'], written.at4mA);
  const at20mA = levelAt(of, ['loop', 'at20mA'], written.at20mA);
  const neededV = 0.02 * shuntOhm;
  if (neededV > referenceV * (1 + ROUND_OFF)) {
    const [needed, most] = [neededV, Math.floor(referenceV / 0.02)].map((value) => Number(value.toPrecision(6)));
    report(
      [...at, 'shunt'],
      `20 mA through ${written.shunt} are ${needed} V, above the reference of ${written.reference}; use a shunt of at most ${most} ohm`,
    );
  }
  const places = [
    ['loop', 'at4mA'],
    ['loop', 'at20mA'],
  ] as const;
  if (!checkReferences(of, { one: 'end of the loop', both: 'both ends of the loop' }, [at4mA, at20mA], places)) return UNRESOLVED;
  if (at4mA.si === at20mA.si) {
    report([...at, 'at20mA'], 'the loop has the same value at 4 mA and at 20 mA; correct one of the two');
    return UNRESOLVED;
  }
  const fullScale = written.fullScale ?? of.fullScale ?? Number.NaN;
  return {
    conversion: { kind: 'loop', shuntOhm, referenceV, fullScale, siAt4mA: at4mA.si, siAt20mA: at20mA.si },
    reference: at4mA.reference,
  };
}
