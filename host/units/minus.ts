/** A number as people write it: with a minus, where a programming language has a hyphen. Never for JSON or CSV. */
export const withMinus = (text: string): string => text.replace(/^-/, '\u2212');
