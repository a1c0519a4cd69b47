/** What the page says aloud: whole words and few digits, to be understood through ear protection. */
import { DISPLAY, type DisplaySystem, type QuantityKind } from '../../../host/units/index.ts';
import type { Shot } from '../../../protocol/index.ts';

const UNIT_WORDS: Readonly<Record<string, string>> = {
  MPa: 'megapascal',
  psi: 'P S I',
  kPa: 'kilopascal',
  inHg: 'inches of mercury',
  'm/s': 'metres per second',
  'ft/s': 'feet per second',
};

/** To so many significant digits, without an exponent. */
function spokenNumber(value: number, digits: number): string {
  const rounded = Number(value.toPrecision(digits));
  return rounded < 0 ? `minus ${-rounded}` : String(rounded);
}

/** @param si  in the quantity's SI unit */
export function spokenQuantity(si: number, kind: QuantityKind, system: DisplaySystem, digits: number): string {
  const { fromSi, symbol } = DISPLAY[kind][system];
  return `${spokenNumber(fromSi(si), digits)} ${UNIT_WORDS[symbol] ?? symbol}`;
}

/** The number that a crew waits for first, then what makes it doubtful. */
export function spokenShot({ number, muzzleVelocityMps, mach, flags }: Shot, system: DisplaySystem): string {
  const name = `Shot ${number}`;
  const doubt = flags.length === 0 ? '' : ` ${flags.length === 1 ? 'One flag' : `${flags.length} flags`}.`;
  if (!muzzleVelocityMps) return `${name}: no velocity.${doubt}`;
  const velocity = spokenQuantity(muzzleVelocityMps.value, 'velocity', system, 4);
  return `${name}: ${velocity}${mach ? `, Mach ${spokenNumber(mach.value, 3)}` : ''}.${doubt}`;
}
