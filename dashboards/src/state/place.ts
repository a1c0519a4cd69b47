/** Which page is shown, by the address; going to another keeps the line to the host and all that the page knows. */
import { signal } from '@preact/signals';

export const path = signal(location.pathname);

/** @returns whether a link leads to another page of ours, which needs no new document */
function isOurs(link: HTMLAnchorElement, event: MouseEvent): boolean {
  const isPlainClick = event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;
  return isPlainClick && !event.defaultPrevented && link.dataset.page !== undefined && link.origin === location.origin;
}

export function followPlace(): void {
  addEventListener('popstate', () => {
    path.value = location.pathname;
  });
  addEventListener('click', (event) => {
    const link = event.target instanceof Element ? event.target.closest('a') : null;
    if (!link || !isOurs(link, event)) return;
    event.preventDefault();
    goTo(link.pathname + link.search + link.hash);
  });
}

/** @param address  path and fragment of one of the pages */
export function goTo(address: string): void {
  if (address === location.pathname + location.search + location.hash) return;
  history.pushState(null, '', address);
  path.value = location.pathname;
  // Whoever reads the fragment hears of a change only by this event, which pushState does not bring.
  dispatchEvent(new HashChangeEvent('hashchange'));
}
