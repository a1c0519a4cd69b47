import type { LeakUp, PumpDown, VacuumEvent } from '../../../protocol/index.ts';
import { absoluteText, differenceText, rateText, spanText } from './words.ts';

export function vacuumWords(event: Omit<VacuumEvent, 'words'>): string {
  const at = `${absoluteText(event.pressurePa.value)} absolute`;
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

function pumpWords(pumpDown: PumpDown | undefined, targetPa: number | undefined): string {
  if (!pumpDown) return ', too early to say how far it will go';
  const { basePressurePa: base, timeToTargetS } = pumpDown;
  const lowest = `the pump can reach ${absoluteText(base.value)} ± ${differenceText(base.expandedUncertainty)}`;
  if (targetPa === undefined) return `; ${lowest}`;
  const target = absoluteText(targetPa);
  switch (pumpDown.target) {
    case 'reached':
      return `; the target of ${target} is reached`;
    case 'ahead':
      return `, target of ${target} in ${spanText(timeToTargetS?.value ?? 0)}; ${lowest}`;
    case 'below-base':
      return `; the target of ${target} is below what this pump can reach here: ${lowest}. Look for a leak, or set a higher target`;
    case 'unsure':
      return `; the target of ${target} is so near what the pump can reach that it cannot be told yet whether it will`;
    case 'none':
      return `; ${lowest}`;
  }
}

function leakWords(leakUp: LeakUp | undefined): string {
  if (!leakUp) return ', rising';
  const { ratePaPerS: rate, durationS } = leakUp;
  return `, rising ${rateText(rate.value)} ± ${rateText(rate.expandedUncertainty)} over ${spanText(durationS)}`;
}
