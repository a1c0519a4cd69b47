/** A key that came in the page's address after `#`, which browsers send to nobody: taken out of the address bar, where others could read it. */
const KEY_SHAPE = /^[\w.~-]{1,256}$/;

/**
 * Takes `NAME=…` out of the address; a part beside it, such as `&shot=…`, stays.
 * @returns undefined where there is none, or none that can be one
 */
export function takeKeyFromAddress(name: string): string | undefined {
  const parts = location.hash.slice(1).split('&');
  const found = parts.find((part) => part.startsWith(`${name}=`));
  if (found === undefined) return undefined;
  const rest = parts.filter((part) => part !== found).join('&');
  history.replaceState(history.state, '', `${location.pathname}${location.search}${rest === '' ? '' : `#${rest}`}`);
  const given = found.slice(name.length + 1);
  return KEY_SHAPE.test(given) ? given : undefined;
}
