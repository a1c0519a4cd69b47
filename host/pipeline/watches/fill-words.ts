import type { FillEvent, Hold, Measured, Settling } from '../../../protocol/index.ts';
import { differenceText, gaugeRangeText, gaugeText, rateText, spanText } from './words.ts';

/** One or two sentences for the crew. */
export function fillWords(event: Omit<FillEvent, 'words'>, ambientPa: number): string {
  const at = gaugeText(event.pressurePa.value, ambientPa);
  const warning = overshootWords(event, ambientPa);
  return [phaseWords(event, at, ambientPa), warning].filter(Boolean).join(' ');
}

function phaseWords(event: Omit<FillEvent, 'words'>, at: string, ambientPa: number): string {
  const rate = event.ratePaPerS ? rateText(event.ratePaPerS.value) : '';
  switch (event.phase) {
    case 'unknown':
      return `Reservoir at ${at}.`;
    case 'empty':
      return `Reservoir reads ${at}; a reading is no proof that a vessel is empty.`;
    case 'filling': {
      const toTarget = event.timeToTargetS;
      const when = !toTarget
        ? ''
        : toTarget.value === 0
          ? ', enough for the target'
          : `, enough for the target in ${timeText(toTarget)} at this rate`;
      return `Filling: ${at}, rising ${rate}${shutWords(event.settledIfShutPa, ambientPa)}${when}.`;
    }
    case 'falling':
      return `Reservoir falling: ${at}, ${rate} downwards.`;
    case 'settling':
      return `Valve shut, gas settling: ${at}${settlingWords(event.settling, ambientPa)}.${event.settling && !event.hold ? ` ${TOO_EARLY}` : ''}`;
    case 'steady':
      return `Reservoir steady at ${at}${bandWords(event.settling)}. ${holdWords(event.hold)}`.trim();
  }
}

/** A range, for that is what is known: where in it the gas settles depends on the wall. */
function shutWords(settled: Measured | undefined, ambientPa: number): string {
  if (!settled) return '';
  const { value, expandedUncertainty: by } = settled;
  return `; settles to about ${gaugeRangeText(value - by, value + by, ambientPa)} if the valve is shut now`;
}

function timeText({ value, expandedUncertainty: by }: Measured): string {
  return by < TIME_SHARE_SURE * value ? spanText(value) : `${spanText(Math.max(0, value - by))} to ${spanText(value + by)}`;
}

/** A time known better than this is one number. */
const TIME_SHARE_SURE = 0.2;

const TOO_EARLY = 'Too early to tell a leak.';

function settlingWords(settling: Settling | undefined, ambientPa: number): string {
  if (!settling) return '; too early to say where it will end';
  const { settledPressurePa: settled, withinBandInS: within } = settling;
  const end = `, will settle at ${gaugeText(settled.value, ambientPa)} ± ${differenceText(settled.expandedUncertainty)}`;
  const when = within && within.value > 0 ? `, within the band in ${spanText(within.value)}` : '';
  return `${end}${when}${bandWords(settling)}`;
}

function bandWords(settling: Settling | undefined): string {
  if (!settling) return '';
  if (settling.verdict === 'above-band') return '; that is above the target’s band';
  return settling.verdict === 'below-band' ? '; that is below the target’s band' : '';
}

function holdWords(hold: Hold | undefined): string {
  if (!hold) return TOO_EARLY;
  const { leakPaPerS: leak, durationS } = hold;
  const seen = `a hold of ${spanText(durationS)}`;
  if (Math.abs(leak.value) > leak.expandedUncertainty) {
    const way = leak.value > 0 ? 'Losing' : 'Gaining';
    return `${way} ${rateText(leak.value)} ± ${rateText(leak.expandedUncertainty)} over ${seen}.`;
  }
  const small = `No leak seen over ${seen}, which would show ${rateText(hold.smallestLeakSeenPaPerS)} or more.`;
  if (hold.smallestLeakSeenPaPerS <= hold.leakToSeePaPerS) return small;
  const wanted = rateText(hold.leakToSeePaPerS);
  return hold.holdNeededS === undefined
    ? `${small} A leak of ${wanted} cannot be told from the drift of gauge and wall, however long the hold.`
    : `${small} To see ${wanted} hold for ${spanText(hold.holdNeededS)}.`;
}

function overshootWords({ overshoot }: Omit<FillEvent, 'words'>, ambientPa: number): string {
  if (!overshoot) return '';
  const expected = gaugeText(overshoot.expectedPa.value, ambientPa);
  const limit = gaugeText(overshoot.limitPa, ambientPa);
  return overshoot.over === 'maximum'
    ? `Shut the valve: it reaches ${expected}, give or take the gauge’s uncertainty, before it can be shut, and the largest fill is ${limit}.`
    : `Overshoot: expected to settle at ${expected}, above the target’s band that ends at ${limit}.`;
}
