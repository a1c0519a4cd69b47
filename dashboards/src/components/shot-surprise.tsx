import type { Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { surprise } from '../state/surprise.ts';
import { bandText, percentText } from '../text/map-text.ts';

/** Of a departure that is outside the 95 % band. */
const OUTSIDE = 0.05;

/** After the shot: how surprising its velocity is, by the map of all the others. */
export function ShotSurprise({ shot }: { readonly shot: Shot }) {
  const point = surprise.value;
  if (point?.shotId !== shot.id) return null;
  const { expected, departure, score, tailProbability, remark } = point;
  const isOutside = tailProbability < OUTSIDE;
  return (
    <div class={isOutside ? 'surprise notice' : 'surprise'} role={isOutside ? 'alert' : undefined}>
      <h3>{isOutside ? 'Look before the next shot' : 'As the map expects'}</h3>
      <p>
        The other shots give <span class="figures">{bandText(expected, units.value)}</span> (95 %); this one is{' '}
        {percentText(Math.abs(departure))} {departure < 0 ? 'slower' : 'faster'}, {Math.abs(score).toFixed(1)} standard deviations:{' '}
        {oddsText(tailProbability)} is as far off.
      </p>
      {remark !== '' && <p>{remark}</p>}
    </div>
  );
}

function oddsText(tailProbability: number): string {
  if (tailProbability < 1e-6) return 'less than one honest shot in a million';
  if (tailProbability > 0.5) return `${Math.round(100 * tailProbability)} of 100 honest shots`;
  return `one honest shot in ${Number((1 / tailProbability).toPrecision(2))}`;
}
