import type { MapKind } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { barrelText, gaugeText, percentText } from '../text/map-text.ts';

/** What would teach most. */
export function NextShots({ suggestions, ambientPressurePa }: Pick<MapKind, 'suggestions' | 'ambientPressurePa'>) {
  const system = units.value;
  return (
    <section class="panel" aria-labelledby="next-title">
      <h2 id="next-title">What the next shot could teach</h2>
      {suggestions.length === 0 ? (
        <p class="empty">Nothing to begin from yet. Fire a gentle shot first.</p>
      ) : (
        <ol class="suggestions">
          {suggestions.map(({ reservoirPressurePa, barrelPressurePa, uncertaintyNow, uncertaintyAfter, why }) => (
            <li key={`${reservoirPressurePa} ${barrelPressurePa}`}>
              <strong class="figures">
                {gaugeText(reservoirPressurePa, ambientPressurePa, system)}, barrel at {barrelText(barrelPressurePa, system)}
              </strong>
              : the map's largest uncertainty goes from {percentText(uncertaintyNow)} to {percentText(uncertaintyAfter)} (k = 1). {why}
            </li>
          ))}
        </ol>
      )}
      <p class="quiet">A suggestion, for what it would teach. Whether to fire is for the person in charge.</p>
    </section>
  );
}
