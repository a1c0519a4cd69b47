/** The reservoir: its pressure now, what it is doing and what that comes to. */
import { channelNow, gaugeNow } from '../state/channel-now.ts';
import { offsets } from '../state/crew.ts';
import { rig } from '../state/live-state.ts';
import { fill } from '../state/watches.ts';
import { FILL_PHASE } from '../text/phase-words.ts';
import { ExpectedVelocity } from './expected-velocity.tsx';
import { FillBar } from './fill-bar.tsx';
import { FillFacts } from './fill-facts.tsx';
import { OvershootWarning } from './overshoot-warning.tsx';
import { PhaseLine } from './phase-line.tsx';
import { Reading } from './reading.tsx';
import { WatchTrouble } from './watch-trouble.tsx';

/** Pressures stream. */
export const PRESSURE_STALE_S = 1;

export function FillPanel() {
  const told = fill.value;
  const channel = told?.channel ?? 'reservoirPressure';
  const absolute = channelNow(channel);
  const gauge = gaugeNow(channel);
  const air = channelNow('airPressure').si;
  const isFit = absolute.health === 'healthy';
  return (
    <section class="panel present fill-panel" id="fill" aria-labelledby="fill-title">
      <h2 id="fill-title">Fill</h2>
      <dl class="readings">
        <Reading
          name="Reservoir"
          reference="gauge"
          kind="pressure"
          accent="reservoir"
          now={gauge}
          staleAfterS={PRESSURE_STALE_S}
          size="large"
          missing={absolute.si === undefined ? 'no reading yet' : 'needs an air pressure reading'}
        />
        <Reading
          name="Reservoir"
          reference="absolute"
          kind="pressure"
          accent="reservoir"
          now={absolute}
          staleAfterS={PRESSURE_STALE_S}
          size="small"
        />
      </dl>
      <ExpectedVelocity />
      <FillBar siGauge={gauge.si} event={isFit ? told : undefined} ambientPa={air} rig={rig.value} />
      {told && isFit ? (
        <>
          <PhaseLine name="Fill" phase={FILL_PHASE[told.phase]} sinceNs={told.phaseSinceNs} atNs={told.atNs} />
          <p class="watch-words">{told.words}</p>
          <OvershootWarning event={told} ambientPa={air} />
          <FillFacts event={told} ambientPa={air} offset={offsets.value[channel]} />
        </>
      ) : (
        <WatchTrouble what="The fill" now={absolute} />
      )}
    </section>
  );
}
