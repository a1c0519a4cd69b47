/** Text that people write and that pages, terminals and journals show again. */
import { z } from 'zod';

/** Control characters drive terminals, direction marks make text read as what it is not, lone surrogates are no text. */
const UNFIT = /[\p{Cc}\p{Cs}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]/u;

/** Spaces at its ends are taken off before it is counted. */
export const plainText = (charactersMax: number) =>
  z
    .string('must be text')
    .trim()
    .min(1, 'must not be empty')
    .max(charactersMax, `may have at most ${charactersMax} characters`)
    .refine((text) => !UNFIT.test(text), 'holds a character that cannot be shown');

/** The same, and nothing at all. */
export const emptyOrPlainText = (charactersMax: number) => z.union([z.literal(''), plainText(charactersMax)]);
