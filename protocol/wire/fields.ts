/** The kinds of field that a frame is made of. Each one turns a value into its only spelling and back. */
import { hex } from './frame.ts';

export interface Field {
  readonly name: string;
  /** What the text must look like, for fault reports. */
  readonly expected: string;
  /** undefined where the value does not fit. */
  readonly encode: (value: unknown) => string | undefined;
  /** undefined where the text does not fit. */
  readonly decode: (text: string) => unknown;
}

/** An unsigned whole number of exactly so many upper-case hexadecimal digits, zeros in front. */
export function hexField(name: string, digits: number, bounds: { readonly min?: number; readonly max?: number } = {}): Field {
  const pattern = new RegExp(`^[0-9A-F]{${digits}}$`);
  const { min = 0, max = 16 ** digits - 1 } = bounds;
  const fits = (value: unknown): value is number => Number.isInteger(value) && (value as number) >= min && (value as number) <= max;
  return {
    name,
    expected: `${digits} hexadecimal digit${digits === 1 ? '' : 's'}, ${hex(min, digits)} to ${hex(max, digits)}`,
    encode: (value) => (fits(value) ? hex(value, digits) : undefined),
    decode: (text) => {
      const value = pattern.test(text) ? Number.parseInt(text, 16) : undefined;
      return fits(value) ? value : undefined;
    },
  };
}

/** Text that stands for itself. */
export function textField(name: string, pattern: RegExp, expected: string): Field {
  const fits = (value: unknown) => (typeof value === 'string' && pattern.test(value) ? value : undefined);
  return { name, expected, encode: fits, decode: fits };
}

/** One letter for each of a few values. */
export function choiceField<T>(name: string, choices: Readonly<Record<string, T>>): Field {
  return {
    name,
    expected: `one of ${Object.keys(choices).join(' ')}`,
    encode: (value) => Object.keys(choices).find((key) => choices[key] === value),
    decode: (text) => (Object.hasOwn(choices, text) ? choices[text] : undefined),
  };
}

/** @returns its value; -1 where it is none, as a small letter is */
function digitAt(text: string, at: number): number {
  const code = text.charCodeAt(at);
  if (code >= 0x30 && code <= 0x39) return code - 0x30;
  return code >= 0x41 && code <= 0x46 ? code - 0x37 : -1;
}

/** Unsigned 16-bit counts, 4 digits each, with nothing between them. */
export function countsField(name: string, samplesMax: number): Field {
  const one = hexField(name, 4);
  return {
    name,
    expected: `1 to ${samplesMax} samples of 4 hexadecimal digits`,
    encode: (value) => {
      if (!Array.isArray(value) || value.length < 1 || value.length > samplesMax) return undefined;
      // Each by itself: two counts too large for 4 digits would together look like well-formed others.
      const texts = Array.from(value, one.encode);
      return texts.includes(undefined) ? undefined : texts.join('');
    },
    decode: (text) => {
      if (text.length === 0 || text.length > 4 * samplesMax || text.length % 4 !== 0) return undefined;
      const counts: number[] = [];
      for (let at = 0; at < text.length; at += 4) {
        const count = (digitAt(text, at) << 12) | (digitAt(text, at + 1) << 8) | (digitAt(text, at + 2) << 4) | digitAt(text, at + 3);
        // One that is no digit is -1, whose bits are all set, and makes the whole negative.
        if (count < 0) return undefined;
        counts.push(count);
      }
      return counts;
    },
  };
}
