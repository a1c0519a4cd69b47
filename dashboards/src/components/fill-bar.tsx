/** How far the reservoir is filled, of its rating. A picture beside the number, not a limit that is watched. */
import { formatValue } from '../../../host/units/index.ts';
import { units } from '../state/preferences.ts';

export function FillBar({ si, ratedPa }: { readonly si: number | undefined; readonly ratedPa: number | undefined }) {
  if (si === undefined || ratedPa === undefined) return null;
  const percent = Math.round((si / ratedPa) * 100);
  const words = `${percent} % of the reservoir’s rating, ${formatValue(ratedPa, 'pressure', units.value)} absolute`;
  return (
    <div class="fill">
      <svg viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">
        <rect width={Math.min(100, Math.max(0, percent))} height={4} />
      </svg>
      <p class={percent > 100 ? 'loud' : ''}>{words}</p>
    </div>
  );
}
