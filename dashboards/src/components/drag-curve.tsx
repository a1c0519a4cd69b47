import type { DragCurvePoint } from '../../../protocol/index.ts';
import { reynoldsText } from '../text/reynolds-text.ts';

/** Of a stretch's points, so many are listed. */
const LISTED = 12;

/** The curve in numbers. */
export function DragCurve({ curve }: { readonly curve: readonly (readonly DragCurvePoint[])[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="shot-rows scrolling" tabIndex={0} aria-label="The drag curve, by Mach">
      <table>
        <caption>The curve through all of them; where it stops there is no band</caption>
        <thead>
          <tr>
            <th scope="col">Mach</th>
            <th scope="col">Reynolds</th>
            <th scope="col">Drag</th>
            <th scope="col">95 % band</th>
            <th scope="col">Half of it</th>
          </tr>
        </thead>
        <tbody>
          {curve.flatMap(thinned).map(({ mach, reynolds, dragCoefficient, low, high }) => (
            <tr key={mach}>
              <th scope="row">{mach.toFixed(3)}</th>
              <td class="figures">{reynoldsText(reynolds)}</td>
              <td class="figures">{dragCoefficient.toFixed(4)}</td>
              <td class="figures">
                {low.toFixed(4)} to {high.toFixed(4)}
              </td>
              <td class="figures">± {((50 * (high - low)) / dragCoefficient).toFixed(1)} %</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function thinned(stretch: readonly DragCurvePoint[]): readonly DragCurvePoint[] {
  const count = Math.min(LISTED, stretch.length);
  return Array.from(
    { length: count },
    (_, i) => stretch[Math.round((i * (stretch.length - 1)) / Math.max(1, count - 1))] as DragCurvePoint,
  );
}
