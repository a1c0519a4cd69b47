import type { LeakUp, PumpDown, VacuumEvent } from '../../../protocol/index.ts';
import { absoluteText, differenceText, rateText, spanText } from './words.ts';

export function vacuumWords(event: Omit<VacuumEvent, 'words'>): string {
  const at = readingText(event.pressurePa.value);
  switch (event.phase) {
    case 'unknown':
      return `Barrel at ${at}.`;
    case 'open':
      return `Barrel at ambient, ${at}.`;
    case 'pumping':
      return `Pumping down: ${at}${pumpWords(event.pumpDown, event.targetPa)}.`;
    case 'base':
      return `Barrel as low as the pump brings it: ${at}${pumpWords(event.pumpDown, event.targetPa)}.`;
    case 'rising':
      return `Pump shut off, barrel at ${at}${leakWords(event.leakUp)}.`;
    case 'venting':
      return event.ratePaPerS && event.ratePaPerS.value > 0
        ? `Air into the barrel: ${at}, rising ${rateText(event.ratePaPerS.value)}.`
        : `Barrel just fired or vented: ${at}.`;
  }
}

/** A gauge that is off may read below zero; the sentence must not pass that on as a pressure. */
const readingText = (pa: number): string =>
  pa < 0 ? `${differenceText(pa)} below zero by its gauge, which must be off` : `${absoluteText(pa)} absolute`;

function pumpWords(pumpDown: PumpDown | undefined, targetPa: number | undefined): string {
  if (!pumpDown) return `, ${TOO_EARLY}`;
  const lowest = lowestWords(pumpDown);
  const end = lowest === '' ? '' : `; ${lowest}`;
  if (targetPa === undefined) return end === '' ? `, ${TOO_EARLY}` : end;
  const target = absoluteText(targetPa);
  switch (pumpDown.target) {
    case 'reached':
      return `; the target of ${target} is reached`;
    case 'ahead':
      return `, target of ${target} in ${spanText(pumpDown.timeToTargetS?.value ?? 0)}${end}`;
    case 'below-base': {
      const reach = pumpDown.basePressurePa ? `: ${lowest}` : ', as the gauge reads';
      return `; the target of ${target} is below what this pump can reach here${reach}. Look for a leak, or set a higher target`;
    }
    case 'unsure':
      return `; the target of ${target} is so near what the pump can reach that it cannot be told yet whether it will`;
    case 'none':
      return end;
  }
}

const TOO_EARLY = 'too early to say how far it will go';

function lowestWords({ basePressurePa: base, basePressureAtMostPa: atMostPa }: PumpDown): string {
  if (base) return `the pump can reach ${absoluteText(base.value)} ± ${differenceText(base.expandedUncertainty)}`;
  return atMostPa === undefined ? '' : `the pump can reach ${absoluteText(atMostPa)} or less`;
}

function leakWords(leakUp: LeakUp | undefined): string {
  if (!leakUp) return ', rising';
  const { ratePaPerS: rate, durationS } = leakUp;
  return `, rising ${rateText(rate.value)} ± ${rateText(rate.expandedUncertainty)} over ${spanText(durationS)}`;
}
