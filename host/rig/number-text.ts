/** SI values as a sentence of a problem shows them. */

export function metres(valueM: number): string {
  return `${shortest(valueM)} m`;
}

export function millimetres(valueM: number): string {
  return `${shortest(valueM * 1000)} mm`;
}

export function megapascals(pressurePa: number): string {
  return `${shortest(pressurePa / 1e6)} MPa`;
}

export function kilopascals(pressurePa: number): string {
  return `${shortest(pressurePa / 1e3)} kPa`;
}

/** Without the last digits of a double. */
function shortest(value: number): number {
  return Number(value.toPrecision(8));
}
