/** Kinds of values that stand in many places of a rig file. */
import { z } from 'zod';

export const NAME_CHARACTERS_MAX = 80;

/** Control characters drive terminals, marks of direction make text read as what it is not, lone surrogates are no text. */
const UNFIT = /[\p{Cc}\p{Cs}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]/u;

/** Text of any characters. */
export const anyText = z
  .string('is not text; put it in quotes')
  .trim()
  .min(1, 'is empty; write some text')
  .max(NAME_CHARACTERS_MAX, `is longer than ${NAME_CHARACTERS_MAX} characters; shorten it`);

/** Text that is shown. */
export const text = anyText.refine(
  (words) => !UNFIT.test(words),
  'holds a character that cannot be shown, such as a line feed or a tab; write it without',
);

/** Stands in records, on the wire and in web addresses, so it is kept narrow. */
export const identifier = z
  .string('is not text; put it in quotes')
  .regex(/^[A-Za-z0-9_-]{1,24}$/, 'must be 1 to 24 letters, digits, - or _; write another');

// A bare number is let through so that the unit it lacks can be named.
export const quantity = z.union([z.string(), z.number().transform(String)], 'is not a quantity; write a number with its unit');

const NUMBER_MAX = 1e15;
const sizeRule = 'is too large a number; correct it';

/** So bounded that no conversion can leave what a double holds. */
export const number = z.number('is not a number; write one without a unit').min(-NUMBER_MAX, sizeRule).max(NUMBER_MAX, sizeRule);

export function whole(from: number, to: number): z.ZodNumber {
  const message = `must be a whole number from ${from} to ${to}`;
  return z.number(message).int(message).min(from, message).max(to, message);
}

export function oneOf<const Words extends readonly [string, ...string[]]>(words: Words): z.ZodEnum<{ [Word in Words[number]]: Word }> {
  return z.enum(words, `is not known here; write ${words.slice(0, -1).join(', ')} or ${words.at(-1)}`);
}

/** 2026-03-01, and a day that there is. */
export const isoDate = z.iso.date('is not a date; write it like 2026-03-01');

export const group = { error: 'is not a group of keys; write its keys under it, indented' };
