import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { ageText } from '../text/age-text.ts';

export interface AgeProps {
  readonly atNs: number;
  readonly before?: string;
  readonly after?: string;
}

/** How long ago something was, counting. Not spoken: it would never stop. */
export function Age({ atNs, before = '', after = '' }: AgeProps) {
  ageTick.value;
  return (
    <span class="age figures" aria-hidden="true">
      {before}
      {ageText((sessionNowNs() - atNs) / 1e9)}
      {after}
    </span>
  );
}

/** Whether it is older than it should be; asked again four times a second. */
export function isOld(atNs: number | undefined, staleAfterS: number): boolean {
  ageTick.value;
  return atNs === undefined || (sessionNowNs() - atNs) / 1e9 > staleAfterS;
}
