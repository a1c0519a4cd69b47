/** How far the reservoir is filled, of its rating. A picture beside the number, not a limit that is watched. */
import { formatValue } from '../../../host/units/index.ts';
import { units } from '../state/preferences.ts';

export function FillBar({ si, ratedPa }: { readonly si: number | undefined; readonly ratedPa: number | undefined }) {
  if (si === undefined || ratedPa === undefined) return null;
  const share = si / ratedPa;
  const words = `${Math.round(share * 100)} % of the reservoir’s rating, ${formatValue(ratedPa, 'pressure', units.value)} absolute`;
  return (
    <div class="fill">
      <meter min={0} max={1} value={Math.min(1, share)} aria-label={words} />
      <span aria-hidden="true">{words}</span>
    </div>
  );
}
