/** How far the reservoir is filled, of its rating. A picture beside the number, not a limit that is watched. */
import { formatValue } from '../../../host/units/index.ts';
import { units } from '../state/preferences.ts';

export function FillBar({ siGauge, ratedPaGauge }: { readonly siGauge: number | undefined; readonly ratedPaGauge: number | undefined }) {
  if (siGauge === undefined || ratedPaGauge === undefined) return null;
  const percent = Math.round((siGauge / ratedPaGauge) * 100);
  const words = `${percent} % of the reservoir’s rating, ${formatValue(ratedPaGauge, 'pressure', units.value)} gauge`;
  return (
    <div class="fill">
      <svg viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">
        <rect width={Math.min(100, Math.max(0, percent))} height={4} />
      </svg>
      <p class={percent > 100 ? 'loud' : ''}>{words}</p>
    </div>
  );
}
