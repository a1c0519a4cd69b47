import type { LimitEvent } from '../../../protocol/index.ts';

/** An alarm is an eight-cornered plate, a warning a triangle. */
export function SeverityMark({ severity }: { readonly severity: LimitEvent['severity'] }) {
  return (
    <svg class="severity-mark" width="36" height="36" viewBox="0 0 36 36" aria-hidden="true">
      <path d={severity === 'alarm' ? 'M11 2h14l9 9v14l-9 9H11l-9-9V11z' : 'M18 3L35 33H1z'} />
      <path class="stroke" d={severity === 'alarm' ? 'M18 9v11M18 24v3.5' : 'M18 13v10M18 26v3'} />
    </svg>
  );
}
