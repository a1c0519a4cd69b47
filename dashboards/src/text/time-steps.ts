/** Places for the figures of a time line: as close as there is room for, at whole seconds, minutes or hours. */
const STEPS_S = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 43_200, 86_400];

/**
 * @param endS  of the line, s, > 0
 * @param widthPx  of the line
 * @param eachPx  room that one figure needs
 * @returns s, from 0, each in the line
 */
export function timeSteps(endS: number, widthPx: number, eachPx: number): readonly number[] {
  const most = Math.max(1, Math.floor(widthPx / eachPx));
  const stepS = STEPS_S.find((step) => endS / step <= most) ?? endS;
  return Array.from({ length: Math.floor(endS / stepS) + 1 }, (_, index) => index * stepS);
}
