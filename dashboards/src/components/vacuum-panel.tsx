/** The barrel's vacuum: pressure now, how the pump-down goes, how fast it leaks up. */
import { type DisplaySystem, formatParts, formatValue } from '../../../host/units/index.ts';
import type { OffsetEvent, PumpDown, VacuumEvent } from '../../../protocol/index.ts';
import { channelNow } from '../state/channel-now.ts';
import { offsets } from '../state/crew.ts';
import { rig } from '../state/live-state.ts';
import { units } from '../state/preferences.ts';
import { vacuum } from '../state/watches.ts';
import { barrelChannel } from '../text/channel-kind.ts';
import { PUMP_TARGET_WORDS, VACUUM_PHASE } from '../text/phase-words.ts';
import { rateSize, rateText } from '../text/rate-text.ts';
import { oneLine } from '../text/result-text.ts';
import { spanText, spanWithUncertainty } from '../text/span-text.ts';
import { Fact } from './fact.tsx';
import { PRESSURE_STALE_S } from './fill-panel.tsx';
import { OffsetFact } from './offset-fact.tsx';
import { PhaseLine } from './phase-line.tsx';
import { Reading } from './reading.tsx';
import { WatchTrouble } from './watch-trouble.tsx';

export function VacuumPanel() {
  const told = vacuum.value;
  const channel = told?.channel ?? barrelChannel(rig.value);
  const now = channelNow(channel);
  return (
    <section class="panel vacuum-panel" id="vacuum" aria-labelledby="vacuum-title">
      <h2 id="vacuum-title">Vacuum</h2>
      <dl class="readings">
        <Reading name="Barrel" reference="absolute" kind="vacuum" accent="barrel" now={now} staleAfterS={PRESSURE_STALE_S} size="large" />
      </dl>
      {told && now.health === 'healthy' ? (
        <>
          <PhaseLine name="Vacuum" phase={VACUUM_PHASE[told.phase]} sinceNs={told.phaseSinceNs} atNs={told.atNs} />
          <p class="watch-words">{told.words}</p>
          <VacuumFacts event={told} offset={offsets.value[channel]} />
        </>
      ) : (
        <WatchTrouble what="The vacuum" now={now} />
      )}
    </section>
  );
}

function VacuumFacts({ event, offset }: { readonly event: VacuumEvent; readonly offset: OffsetEvent | undefined }) {
  const system = units.value;
  const { ratePaPerS, pumpDown, leakUp, targetPa = rig.value?.vacuum?.targetPa } = event;
  const bandPa = rig.value?.vacuum?.bandPa;
  const rate = { panel: 'vacuum', system } as const;
  return (
    <dl class="facts">
      <OffsetFact offset={offset} remedy={isAtRest(event) ? 'zero it before the pump starts' : 'not zeroed before the pump-down'} />
      <Fact name="Target">{targetPa !== undefined && `${oneLine(formatParts(targetPa, bandPa, 'vacuum', system))} absolute`}</Fact>
      <Fact name="Rate">{ratePaPerS && rateText(ratePaPerS.value, ratePaPerS.expandedUncertainty, rate)}</Fact>
      <Fact name="Time to target">
        {pumpDown &&
          (pumpDown.target === 'ahead' && pumpDown.timeToTargetS
            ? spanWithUncertainty(pumpDown.timeToTargetS)
            : PUMP_TARGET_WORDS[pumpDown.target])}
      </Fact>
      <Fact name="Pump can reach">{pumpDown && reachText(pumpDown, system)}</Fact>
      <Fact name="Leaks up by" lines={2}>
        {leakUp && `${rateText(leakUp.ratePaPerS.value, leakUp.ratePaPerS.expandedUncertainty, rate)} over ${spanText(leakUp.durationS)}`}
      </Fact>
      <Fact name="Least leak seen">{leakUp && rateSize(leakUp.smallestLeakSeenPaPerS, rate)}</Fact>
    </dl>
  );
}

function reachText({ basePressurePa: base, basePressureAtMostPa: atMostPa }: PumpDown, system: DisplaySystem): string {
  if (base) return oneLine(formatParts(base.value, base.expandedUncertainty, 'vacuum', system));
  return atMostPa === undefined ? 'too early to say' : `${formatValue(atMostPa, 'vacuum', system)} or less`;
}

const isAtRest = ({ phase }: VacuumEvent): boolean => phase === 'open' || phase === 'unknown';
