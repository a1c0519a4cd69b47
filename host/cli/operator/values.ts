/** Quantities that the crew type, in their own units; and values of a channel, in its own. */
import type { ChannelShown, Mass, Measure, TargetPoint } from '../../../protocol/index.ts';
import { type Dimension, formatValue, parseQuantity, type QuantityKind } from '../../units/index.ts';
import { CommandError } from '../output.ts';

const DIMENSIONS: Readonly<Record<Measure, Dimension>> = {
  pressure: 'pressure',
  temperature: 'temperature',
  ratio: 'ratio',
  speed: 'speed',
  voltage: 'voltage',
};
const KINDS: Readonly<Record<Measure, QuantityKind>> = {
  pressure: 'pressure',
  temperature: 'temperature',
  ratio: 'humidity',
  speed: 'velocity',
  voltage: 'voltage',
};
/** Below this a pressure is read in kPa. */
const SMALL_PA = 0.5e6;

/**
 * @param text  such as `0 MPa gauge` or `21.5 °C`; a pressure says gauge or absolute, whichever the channel reads
 * @returns SI, as the channel reads
 * @throws CommandError with exit code 2 for what is no such quantity
 */
export function channelValue(text: string, { channel, measures, reference, ambient }: ChannelShown): number {
  const read = parseQuantity(text, DIMENSIONS[measures], { uncertainty: 'forbidden' });
  if (!read.ok) throw new CommandError(`"${text}" cannot be what ${channel} reads: ${read.problem.message}.`, 2);
  if (read.reference === undefined || read.reference === reference) return read.valueSi;
  return reference === 'gauge' ? read.valueSi - ambient.pressurePa : read.valueSi + ambient.pressurePa;
}

/** Such as `0.0123 MPa gauge`. */
export function valueText(si: number, { measures, reference }: Pick<ChannelShown, 'measures' | 'reference'>): string {
  const kind = measures === 'pressure' && Math.abs(si) < SMALL_PA ? 'vacuum' : KINDS[measures];
  return `${formatValue(si, kind, 'SI')}${measures === 'pressure' ? ` ${reference}` : ''}`;
}

/**
 * @param text  with its uncertainty, such as `125.4 g ± 0.1 g` (expanded, k = 2, where it says nothing else)
 * @throws CommandError with exit code 2
 */
export function projectileMass(text: string): Mass {
  const read = parseQuantity(text, 'mass', { uncertainty: 'required' });
  if (!read.ok) throw new CommandError(`"${text}" is no mass: ${read.problem.message}; write it as 125.4 g ± 0.1 g.`, 2);
  return { valueKg: read.valueSi, standardUncertaintyKg: read.standardUncertaintySi };
}

const WAYS: Readonly<Record<'right' | 'up', readonly [plus: string, minus: string]>> = { right: ['right', 'left'], up: ['up', 'down'] };

/**
 * @param right  such as `12 mm`, `-12 mm` or `12 mm left`
 * @param up  such as `5 mm`, or `0.2 in down`
 * @throws CommandError with exit code 2
 */
export const targetPoint = (right: string, up: string): TargetPoint => ({ rightM: along('right', right), upM: along('up', up) });

function along(axis: 'right' | 'up', text: string): number {
  const [plus, minus] = WAYS[axis];
  const [, amount = text, way] = new RegExp(`^(.*?)\\s+(${plus}|${minus})\\s*$`).exec(text) ?? [];
  const read = parseQuantity(amount, 'length', { uncertainty: 'forbidden' });
  if (!read.ok) {
    const hint = `write it as 12 mm or 12 mm ${minus}`;
    throw new CommandError(`"${text}" is no distance ${plus} or ${minus}: ${read.problem.message}; ${hint}.`, 2);
  }
  return way === minus ? 0 - read.valueSi : read.valueSi;
}
