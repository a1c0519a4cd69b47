import type { Impact } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { shots } from '../state/shots.ts';
import { impactsText } from '../text/impacts-text.ts';
import { sideText, sizeText } from '../text/target-length.ts';

/** Behind the drawing: every impact in figures, newest first. */
export function ImpactTable({ impacts }: { readonly impacts: readonly Impact[] }) {
  const system = units.value;
  const numberOfShot = (id: string) => shots.value.find((shot) => shot.id === id)?.number ?? id;
  return (
    <details class="budget">
      <summary>All impacts: {impactsText(impacts)}</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard */}
      <section class="scrolling" tabIndex={0} aria-label="Impacts">
        <table>
          <thead>
            <tr>
              <th scope="col">Shot</th>
              <th scope="col">Sideways</th>
              <th scope="col">Upright</th>
              <th scope="col">Sight set</th>
              <th scope="col">Predicted drop</th>
            </tr>
          </thead>
          <tbody>
            {impacts.toReversed().map(({ shotId, at, aim, dropM, excluded }) => (
              <tr key={shotId} class={excluded ? 'is-excluded' : ''}>
                <th scope="row">
                  <span class="struck">{numberOfShot(shotId)}</span>
                  {excluded && <b class="excluded-word">excluded</b>}
                </th>
                <td class="figures struck">{sideText(at.rightM, ['right', 'left'], system)}</td>
                <td class="figures struck">{sideText(at.upM, ['high', 'low'], system)}</td>
                <td class="figures">
                  {aim ? `${sideText(aim.rightM, ['right', 'left'], system)}, ${sideText(aim.upM, ['high', 'low'], system)}` : '–'}
                </td>
                <td class="figures">{dropM === undefined ? '–' : sizeText(dropM, system)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  );
}
