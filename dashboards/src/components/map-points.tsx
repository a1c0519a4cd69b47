import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { MapShotPoint } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { addressOf } from '../state/shots.ts';
import { bandText, signedText } from '../text/map-text.ts';

/** A remark is for a shot that seldom is so far off; one in twenty lies outside its band. */
const OUTSIDE = 0.05;

/** What the chart shows, in numbers: each shot against what the others say of it. */
export function MapPoints({ points }: { readonly points: readonly MapShotPoint[] }) {
  const system = units.value;
  return (
    <>
      <h3>Each shot against the map of the others</h3>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard */}
      <section class="shot-rows scrolling" tabIndex={0} aria-label="Shots of the map, by fill">
        <table>
          <thead>
            <tr>
              <th scope="col">Shot</th>
              <th scope="col">Fill, {DISPLAY.pressure[system].symbol} abs.</th>
              <th scope="col">Barrel, {DISPLAY.vacuum[system].symbol} abs.</th>
              <th scope="col">Measured, {DISPLAY.velocity[system].symbol}</th>
              <th scope="col">Expected, 95 %</th>
              <th scope="col">Departure</th>
              <th scope="col">Verdict</th>
            </tr>
          </thead>
          <tbody>
            {points.map((point) => (
              <Row key={point.shotId} {...point} />
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}

function Row({
  shotId,
  reservoirPressurePa,
  barrelPressurePa,
  velocityMps,
  velocityStandardUncertaintyMps,
  expected,
  departure,
  score,
  tailProbability,
  isSetAside,
}: MapShotPoint) {
  const system = units.value;
  return (
    <tr>
      <th scope="row">
        <a href={`/shot${addressOf(shotId)}`} data-page="">
          {shotId}
        </a>
      </th>
      <td class="figures">{formatParts(reservoirPressurePa, undefined, 'pressure', system).value}</td>
      <td class="figures">{formatParts(barrelPressurePa, undefined, 'vacuum', system).value}</td>
      <td class="figures">{formatParts(velocityMps, 2 * velocityStandardUncertaintyMps, 'velocity', system).value}</td>
      <td class="figures">{bandText(expected, system)}</td>
      <td class="figures">
        {signedText(100 * departure, 2)} % ({signedText(score, 1)})
      </td>
      <td>{isSetAside ? 'left out' : tailProbability < OUTSIDE ? 'outside the band' : 'within'}</td>
    </tr>
  );
}
