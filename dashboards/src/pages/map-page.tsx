import { useState } from 'preact/hooks';
import { mapChart } from '../../../host/charts/index.ts';
import type { MapKind, MapReport } from '../../../protocol/index.ts';
import { ChartDrawing } from '../charts/chart-drawing.tsx';
import { FillQuestion } from '../components/fill-question.tsx';
import { MapCurves } from '../components/map-curves.tsx';
import { MapPoints } from '../components/map-points.tsx';
import { NextShots } from '../components/next-shots.tsx';
import { KindChoice, LeftOutShots, NotHere, OfReplay, Without } from '../components/report-parts.tsx';
import { map } from '../state/map.ts';
import { useWithShots } from '../state/use-with-shots.ts';
import { percentText } from '../text/map-text.ts';

/** Muzzle velocity over fill and barrel pressure: what this launcher gives, as far as its shots say. */
export function MapPage() {
  useWithShots(map.fetchIt);
  const [chosen, setChosen] = useState(0);
  const now = map.now.value;
  const { kinds, without } = now.state === 'here' ? now.report : NOTHING;
  const kind = kinds[chosen] ?? kinds[0];
  return (
    <>
      <section class="panel map-panel" aria-labelledby="map-title">
        <h2 id="map-title">Pressure–velocity map</h2>
        {now.state === 'here' ? (
          <>
            <OfReplay />
            <KindChoice
              label="Launcher and projectile"
              names={kinds.map(({ rigName, projectile }) => `${rigName}, ${projectile}`)}
              chosen={chosen}
              choose={setChosen}
            />
            {kind ? <Kind kind={kind} /> : <p class="empty">No shot yet of which a map can be made.</p>}
            <Without without={without} words="of which no map can be made" />
          </>
        ) : (
          <NotHere now={now} what="map" />
        )}
      </section>
      {kind && kind.noMap === '' && <FillQuestion kind={kind} />}
      {kind && <NextShots {...kind} />}
    </>
  );
}

const NOTHING: MapReport = { kinds: [], without: [] };

function Kind({ kind }: { readonly kind: MapKind }) {
  const { points, leftOut, curves, noMap, scatterRelative, remainderProbability, leaveOneOut, ambientPressurePa } = kind;
  return (
    <>
      {points.length > 0 && <ChartDrawing chart={mapChart(kind)} id="map-chart" />}
      {noMap !== '' && <p class="notice">{noMap}</p>}
      {noMap === '' && (
        <p>
          From shot to shot the velocity scatters by {percentText(scatterRelative)} (k = 1); {leaveOneOut.within} of {leaveOneOut.of} shots
          lie within the 95 % band that the others give.{' '}
          {remainderProbability < 0.05
            ? 'The launch model alone does.'
            : `That a smooth remainder belongs to the map is believed to ${Math.round(100 * remainderProbability)} %; the bands allow for it.`}{' '}
          Curves end where the shots support them no further.
        </p>
      )}
      {points
        .filter(({ isSetAside, tailProbability }) => isSetAside || tailProbability < 0.01)
        .map(({ shotId, remark }) => (
          <p key={shotId} class="notice">
            Shot {shotId}: {remark}
          </p>
        ))}
      {points.length > 0 && <MapPoints points={points} />}
      {curves.length > 0 && <MapCurves curves={curves} ambientPa={ambientPressurePa} />}
      <LeftOutShots leftOut={leftOut} of="map" />
    </>
  );
}
