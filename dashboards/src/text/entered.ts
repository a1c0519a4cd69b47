/** Numbers that a person typed. */
import type { Display } from '../../../host/units/index.ts';

/** @returns undefined for what is no plain decimal number; a comma and a typographic minus are taken */
export function numberOf(text: string): number | undefined {
  const plain = text.trim().replace('−', '-').replace(',', '.');
  return /^[-+]?(?:\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
}

/** Displays are straight lines: their inverse is known from two of their points. */
export function siOf(display: Display, shown: number): number {
  const atZero = display.fromSi(0);
  return (shown - atZero) / display.differenceFromSi(1);
}
