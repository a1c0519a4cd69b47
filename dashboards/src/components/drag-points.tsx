import { withMinus } from '../../../host/units/index.ts';
import type { DragPoint } from '../../../protocol/index.ts';
import { addressOf } from '../state/shots.ts';
import { reynoldsText } from '../text/reynolds-text.ts';

const K95 = 1.96;

/** What the chart shows, in numbers: each shot. */
export function DragPoints({ points }: { readonly points: readonly DragPoint[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="shot-rows scrolling" tabIndex={0} aria-label="Shots of the drag curve, by Mach">
      <table>
        <caption>Each shot, from its own gates</caption>
        <thead>
          <tr>
            <th scope="col">Shot</th>
            <th scope="col">Mach</th>
            <th scope="col">Reynolds</th>
            <th scope="col">Drag ± 95 %</th>
            <th scope="col">Its own part</th>
            <th scope="col">Away from the others</th>
          </tr>
        </thead>
        <tbody>
          {points.map(({ shotId, mach, reynolds, dragCoefficient, standardUncertainty, ownStandardUncertainty, score, isOutlier }) => (
            <tr key={shotId}>
              <th scope="row">
                <a href={`/shot${addressOf(shotId)}`} data-page="">
                  {shotId}
                </a>
              </th>
              <td class="figures">{mach.toFixed(3)}</td>
              <td class="figures">{reynoldsText(reynolds)}</td>
              <td class="figures">
                {dragCoefficient.toFixed(4)} ± {(K95 * standardUncertainty).toFixed(4)}
              </td>
              <td class="figures">± {(K95 * ownStandardUncertainty).toFixed(4)}</td>
              <td class="figures">
                {score === undefined ? '' : `${withMinus((Math.round(10 * score) / 10 + 0).toFixed(1))} u`}
                {isOutlier && ', far'}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
