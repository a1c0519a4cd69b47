/** The numbers that the crew reads at arm's length. */

import type { Present } from '../state/channel-trace.ts';
import { presents, rig } from '../state/live-state.ts';
import { FillBar } from './fill-bar.tsx';
import { Reading } from './reading.tsx';

/** Pressures stream; the air comes seldom and changes slowly. */
const PRESSURE_STALE_S = 1;
const AIR_STALE_S = 10;

export function PresentNumbers() {
  const { reservoirPressure, barrelPressure, airTemperature, airPressure, airHumidity } = presents.value;
  const gauge = gaugeOf(reservoirPressure, airPressure);
  return (
    <section class="panel present" aria-labelledby="present-title">
      <h2 id="present-title">Now</h2>
      <dl class="readings">
        <Reading
          name="Reservoir"
          reference="gauge"
          kind="pressure"
          accent="reservoir"
          si={gauge?.si}
          atNs={gauge?.atNs}
          staleAfterS={PRESSURE_STALE_S}
          size="large"
          missing={reservoirPressure ? 'needs an air pressure reading' : 'no reading yet'}
        />
        <Reading
          name="Reservoir"
          reference="absolute"
          kind="pressure"
          accent="reservoir"
          {...of(reservoirPressure)}
          staleAfterS={PRESSURE_STALE_S}
          size="large"
        />
        <Reading
          name="Barrel"
          reference="absolute"
          kind="vacuum"
          accent="barrel"
          {...of(barrelPressure)}
          staleAfterS={PRESSURE_STALE_S}
          size="large"
        />
      </dl>
      <FillBar siGauge={gauge?.si} ratedPaGauge={rig.value?.reservoirRatedPaGauge} />
      <dl class="readings air">
        <Reading name="Air" kind="temperature" {...of(airTemperature)} staleAfterS={AIR_STALE_S} size="small" />
        <Reading name="Air" reference="absolute" kind="airPressure" {...of(airPressure)} staleAfterS={AIR_STALE_S} size="small" />
        <Reading name="Humidity" kind="humidity" {...of(airHumidity)} staleAfterS={AIR_STALE_S} size="small" />
      </dl>
    </section>
  );
}

const of = (present: Present | undefined) => ({ si: present?.si, atNs: present?.atNs });

/** Above the air of the moment. As old as the reservoir's reading: the air's has its own age beside it. */
function gaugeOf(reservoir: Present | undefined, air: Present | undefined): Present | undefined {
  return reservoir && air ? { si: reservoir.si - air.si, atNs: reservoir.atNs } : undefined;
}
