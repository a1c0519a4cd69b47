/** Time since the session was opened, ns, as `00:12:30`; with tenths where asked for. */
export function sessionTime(atNs: number, withTenths = false): string {
  const tenths = Math.max(0, Math.floor(atNs / 1e8));
  const whole = Math.floor(tenths / 10);
  const two = (value: number): string => String(value).padStart(2, '0');
  const text = `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
  return withTenths ? `${text}.${tenths % 10}` : text;
}
