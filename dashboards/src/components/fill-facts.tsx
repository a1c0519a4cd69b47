/** The fill in numbers. Every row is always there, so that nothing moves while numbers come and go. */
import { formatParts } from '../../../host/units/index.ts';
import type { FillEvent } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { BAND_WORDS } from '../text/phase-words.ts';
import { rateSize, rateText } from '../text/rate-text.ts';
import { oneLine } from '../text/result-text.ts';
import { spanText, spanWithUncertainty } from '../text/span-text.ts';
import { Fact } from './fact.tsx';

export function FillFacts({ event, ambientPa }: { readonly event: FillEvent; readonly ambientPa: number | undefined }) {
  const system = units.value;
  const { ratePaPerS, timeToTargetS, settling, hold } = event;
  const fill = { kind: 'fill', system } as const;
  const leak = { kind: 'leak', system } as const;
  const reference = ambientPa === undefined ? 'absolute' : 'gauge';
  return (
    <dl class="facts">
      <Fact name="Rate">{ratePaPerS && rateText(ratePaPerS.value, ratePaPerS.expandedUncertainty, fill)}</Fact>
      <Fact name="Time to target">{timeToTargetS && spanWithUncertainty(timeToTargetS)}</Fact>
      <Fact name="Will settle at">
        {settling &&
          `${oneLine(
            formatParts(
              settling.settledPressurePa.value - (ambientPa ?? 0),
              settling.settledPressurePa.expandedUncertainty,
              'pressure',
              system,
            ),
          )} ${reference}, ${BAND_WORDS[settling.verdict]}`}
      </Fact>
      <Fact name="Within the band">{settling && withinBand(settling)}</Fact>
      <Fact name="Leak">
        {hold && `${rateText(-hold.leakPaPerS.value, hold.leakPaPerS.expandedUncertainty, leak)} over ${spanText(hold.durationS)}`}
      </Fact>
      <Fact name="Smallest leak seen">{hold && rateSize(hold.smallestLeakSeenPaPerS, leak)}</Fact>
      <Fact name="Hold needed">
        {hold &&
          (hold.holdNeededS === undefined
            ? `no hold is long enough for ${rateSize(hold.leakToSeePaPerS, leak)}`
            : `${spanText(hold.holdNeededS)} for ${rateSize(hold.leakToSeePaPerS, leak)}`)}
      </Fact>
    </dl>
  );
}

function withinBand({ withinBandInS }: NonNullable<FillEvent['settling']>): string {
  if (!withinBandInS) return 'not as it is going';
  return withinBandInS.value <= 0 ? 'now' : `in ${spanWithUncertainty(withinBandInS)}`;
}
