/** A limit in a sentence: what it means for the crew, by what value, of what limit, and what has become of it. */
import type { LimitEvent } from '../../../protocol/index.ts';
import { amountText, withMinus } from '../../units/index.ts';
import type { LimitSetup } from './setup.ts';
import { absoluteText, gaugeText } from './words.ts';

type Facts = Pick<LimitEvent, 'state' | 'was' | 'channelHealthy' | 'valueSi' | 'acknowledgedBy'>;

export function limitWords(setup: LimitSetup, { state, was, valueSi, acknowledgedBy, channelHealthy }: Facts): string {
  const message = setup.message.trim().replace(/\.$/, '');
  if (acknowledgedBy !== undefined) return `${message}. Acknowledged by ${acknowledgedBy}${state === 'clear' ? '; it is over' : ''}.`;
  if (state === 'latched') return `${message}: it is over, and waits to be acknowledged.`;
  if (state !== 'active') return `${message}: it is over.`;
  const value = valueSi === undefined ? '' : `: ${valueText(setup, valueSi)}, limit ${valueText(setup, setup.limitSi)}`;
  const again = was === 'latched' ? ' It is back, and nobody has acknowledged it.' : '';
  const doubt = channelHealthy ? '' : ' Its transducer is not healthy.';
  return `${message}${value}.${again}${doubt}`;
}

function valueText({ kind, unit, gaugeZeroPa }: LimitSetup, si: number): string {
  if (kind === 'risingFasterThan' || kind === 'fallingFasterThan') return `${amountText(60 * si, unit)}/min`;
  if (kind === 'differsFrom') return amountText(si, unit);
  if (unit === 'Pa') return gaugeZeroPa === undefined ? `${absoluteText(si)} absolute` : gaugeText(si, gaugeZeroPa);
  return unit === 'K' ? `${withMinus((si - ZERO_CELSIUS_K).toFixed(1))} °C` : amountText(si, unit);
}

const ZERO_CELSIUS_K = 273.15;
