const two = (value: number): string => String(value).padStart(2, '0');

/** Time since the session was opened, ns, as `00:12:30`; with tenths where asked for. */
export function sessionTime(atNs: number, withTenths = false): string {
  const tenths = Math.max(0, Math.floor(atNs / 1e8));
  const text = hoursAndSo(Math.floor(tenths / 10));
  return withTenths ? `${text}.${tenths % 10}` : text;
}

/** For an address: to the millisecond, and never before that moment, so that what it was chosen for is there. */
export function addressTime(atNs: number): string {
  const ms = Math.max(0, Math.ceil(atNs / 1e6));
  return `${hoursAndSo(Math.floor(ms / 1000))}.${String(ms % 1000).padStart(3, '0')}`;
}

/** @returns ns; undefined where it is no such time */
export function sessionTimeNs(text: string): number | undefined {
  const match = /^(\d{1,4}):(\d{2}):(\d{2}(?:\.\d{1,3})?)$/.exec(text);
  if (!match) return undefined;
  return Math.round((Number(match[1]) * 3600 + Number(match[2]) * 60 + Number(match[3])) * 1e3) * 1e6;
}

function hoursAndSo(wholeS: number): string {
  return `${two(Math.floor(wholeS / 3600))}:${two(Math.floor(wholeS / 60) % 60)}:${two(wholeS % 60)}`;
}
