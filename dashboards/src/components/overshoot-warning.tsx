import { formatParts } from '../../../host/units/index.ts';
import type { FillEvent } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { oneLine } from '../text/result-text.ts';

/** Where the fill would end too high, or pass what the vessel may take. */
export function OvershootWarning({ event, ambientPa }: { readonly event: FillEvent; readonly ambientPa: number | undefined }) {
  const over = event.overshoot;
  if (!over) return null;
  const system = units.value;
  const reference = ambientPa === undefined ? 'absolute' : 'gauge';
  const shown = (pa: number, expandedPa?: number) =>
    `${oneLine(formatParts(pa - (ambientPa ?? 0), expandedPa, 'pressure', system))} ${reference}`;
  return (
    <p class={`overshoot ${over.over}`} role="status">
      <strong>{over.over === 'maximum' ? 'SHUT THE VALVE' : 'OVERSHOOT'}</strong> Expected{' '}
      {shown(over.expectedPa.value, over.expectedPa.expandedUncertainty)}, {over.over === 'maximum' ? 'largest fill' : 'end of the band'}{' '}
      {shown(over.limitPa)}.
    </p>
  );
}
