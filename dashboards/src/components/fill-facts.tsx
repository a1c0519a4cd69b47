/** The fill in numbers. Every row is always there, so that nothing moves while numbers come and go. */
import { formatParts } from '../../../host/units/index.ts';
import type { FillEvent, Measured, OffsetEvent } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { BAND_WORDS } from '../text/phase-words.ts';
import { rateSize, rateText } from '../text/rate-text.ts';
import { oneLine } from '../text/result-text.ts';
import { spanText, spanWithUncertainty } from '../text/span-text.ts';
import { Fact } from './fact.tsx';
import { OffsetFact } from './offset-fact.tsx';

export interface FillFactsProps {
  readonly event: FillEvent;
  readonly ambientPa: number | undefined;
  readonly offset: OffsetEvent | undefined;
}

export function FillFacts({ event, ambientPa, offset }: FillFactsProps) {
  const system = units.value;
  const { ratePaPerS, timeToTargetS, settledIfShutPa, settling, hold } = event;
  const rate = { panel: 'fill', system } as const;
  const reference = ambientPa === undefined ? 'absolute' : 'gauge';
  const shown = ({ value, expandedUncertainty }: Measured): string =>
    `${oneLine(formatParts(value - (ambientPa ?? 0), expandedUncertainty, 'pressure', system))} ${reference}`;
  return (
    <dl class="facts">
      <OffsetFact offset={offset} remedy={isAtRest(event) ? 'zero it before the fill begins' : 'not zeroed before the fill'} />
      <Fact name="Rate">{ratePaPerS && rateText(ratePaPerS.value, ratePaPerS.expandedUncertainty, rate)}</Fact>
      <Fact name="Time to target">{timeToTargetS && spanWithUncertainty(timeToTargetS)}</Fact>
      <Fact name="If shut now" lines={2}>
        {settledIfShutPa && `settles at ${shown(settledIfShutPa)}`}
      </Fact>
      <Fact name="Will settle at" lines={2}>
        {settling && `${shown(settling.settledPressurePa)}, ${BAND_WORDS[settling.verdict]}`}
      </Fact>
      <Fact name="Within the band">{settling && withinBand(settling)}</Fact>
      <Fact name="Leak" lines={2}>
        {hold && `${rateText(hold.leakPaPerS.value, hold.leakPaPerS.expandedUncertainty, rate)} lost, over ${spanText(hold.durationS)}`}
      </Fact>
      <Fact name="Least leak seen">{hold && rateSize(hold.smallestLeakSeenPaPerS, rate)}</Fact>
      <Fact name="Hold needed">
        {hold &&
          (hold.holdNeededS === undefined
            ? `no hold is long enough for ${rateSize(hold.leakToSeePaPerS, rate)}`
            : `${spanText(hold.holdNeededS)} for ${rateSize(hold.leakToSeePaPerS, rate)}`)}
      </Fact>
    </dl>
  );
}

const isAtRest = ({ phase }: FillEvent): boolean => phase === 'empty' || phase === 'unknown';

function withinBand({ withinBandInS }: NonNullable<FillEvent['settling']>): string {
  if (!withinBandInS) return 'not as it is going';
  return withinBandInS.value <= 0 ? 'now' : `in ${spanWithUncertainty(withinBandInS)}`;
}
