import { ageTick, sessionNowNs } from '../state/page-clock.ts';
import { ageText } from '../text/age-text.ts';

/** How long ago something was, counting. Not spoken: it would never stop. */
export function Age({ atNs, before = '' }: { readonly atNs: number; readonly before?: string }) {
  ageTick.value;
  return (
    <span class="age figures" aria-hidden="true">
      {before}
      {ageText((sessionNowNs() - atNs) / 1e9)}
    </span>
  );
}

/** Whether it is older than it should be; asked again four times a second. */
export function isOld(atNs: number | undefined, staleAfterS: number): boolean {
  ageTick.value;
  return atNs === undefined || (sessionNowNs() - atNs) / 1e9 > staleAfterS;
}
