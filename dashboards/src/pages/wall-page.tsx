/** For a screen on a wall or a phone propped up: four things, as big as the screen allows, and nothing to press. */
import { formatParts } from '../../../host/units/index.ts';
import { PRESSURE_STALE_S } from '../components/fill-panel.tsx';
import { NewestShot } from '../components/newest-shot.tsx';
import { Reading } from '../components/reading.tsx';
import { SignsCaution, Verdict } from '../components/signs.tsx';
import { channelNow, gaugeNow } from '../state/channel-now.ts';
import { rig } from '../state/live-state.ts';
import { units } from '../state/preferences.ts';
import { fill, vacuum } from '../state/watches.ts';
import { barrelChannel } from '../text/channel-kind.ts';
import { FILL_PHASE, VACUUM_PHASE } from '../text/phase-words.ts';

export function WallPage() {
  return (
    <div class="wall">
      <Verdict />
      <NewestShot />
      <FillNow />
      <BarrelNow />
      <SignsCaution />
    </div>
  );
}

function FillNow() {
  const told = fill.value;
  const target = rig.value?.fill?.targetPaGauge;
  const { value, symbol } = formatParts(target ?? Number.NaN, undefined, 'pressure', units.value);
  return (
    <section class="panel" aria-labelledby="wall-fill">
      <h2 id="wall-fill">
        Fill{told ? `: ${FILL_PHASE[told.phase]}` : ''}
        {target === undefined ? '' : `. Target ${value} ${symbol} gauge`}
      </h2>
      <dl class="readings">
        <Reading
          name="Reservoir"
          reference="gauge"
          kind="pressure"
          accent="reservoir"
          now={gaugeNow(told?.channel ?? 'reservoirPressure')}
          staleAfterS={PRESSURE_STALE_S}
          size="large"
        />
      </dl>
    </section>
  );
}

function BarrelNow() {
  const told = vacuum.value;
  return (
    <section class="panel" aria-labelledby="wall-barrel">
      <h2 id="wall-barrel">Vacuum{told ? `: ${VACUUM_PHASE[told.phase]}` : ''}</h2>
      <dl class="readings">
        <Reading
          name="Barrel"
          reference="absolute"
          kind="vacuum"
          accent="barrel"
          now={channelNow(told?.channel ?? barrelChannel(rig.value))}
          staleAfterS={PRESSURE_STALE_S}
          size="large"
        />
      </dl>
    </section>
  );
}
