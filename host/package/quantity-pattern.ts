/**
 * A quantity text as a regular expression (ECMA-262, as JSON Schema has it). It lets through whatever the loader takes,
 * and a little that it refuses: the loader's word is the last.
 */
import { type Dimension, UNITS } from '../units/index.ts';

export interface QuantityForm {
  readonly dimension: Dimension;
  /** Which word must stand behind a pressure. */
  readonly reference: 'gauge' | 'absolute' | 'any' | 'none';
  /** Whether a value stands there, or an uncertainty alone. */
  readonly value: boolean;
  readonly uncertainty: boolean;
}

const NUMBER = '[-\u2212]?([0-9]+([.][0-9]*)?|[.][0-9]+)([eE][-+]?[0-9]+)?';
const REFERENCES = { gauge: '\\s*gau?ge', absolute: '\\s*abs(olute)?', any: '\\s*(gau?ge|abs(olute)?)', none: '' };

export function quantityPattern({ dimension, reference, value, uncertainty }: QuantityForm): string {
  const front = value ? `${NUMBER}\\s*${unitsOf(dimension)}${REFERENCES[reference]}\\s*` : '';
  return `^\\s*${front}${uncertainty ? uncertaintyOf(dimension) : ''}$`;
}

function uncertaintyOf(dimension: Dimension): string {
  const unit = unitsOf(dimension === 'temperature' ? 'temperatureDifference' : dimension, 'ratio');
  return `(±|[+]/-|[+][-\u2212])\\s*${NUMBER}\\s*${unit}(\\s*of\\s*(span|value))?(\\s*(rect|std|k\\s*=\\s*${NUMBER}))?\\s*`;
}

function unitsOf(...dimensions: readonly Dimension[]): string {
  const words = UNITS.filter((unit) => dimensions.includes(unit.dimension)).flatMap(({ symbol, aliases }) => [symbol, ...aliases]);
  return `(${words.map(escaped).join('|')})`;
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** How a quantity of that form is written, in words. */
export function quantityWords({ dimension, reference, value, uncertainty }: QuantityForm): string {
  const units = UNITS.filter((unit) => unit.dimension === dimension).map(({ symbol }) => symbol);
  const words = reference === 'none' ? '' : reference === 'any' ? ' gauge or absolute' : ` ${reference}`;
  const form = [value ? `a number with its unit${words}` : '', uncertainty ? '± and how far off it may be' : 'without ±'].filter(Boolean);
  return `Written as ${form.join(', ')}; units: ${units.join(', ')}.`;
}
