/** Where names of points may stand so that none lies on another. */

/** Left, top, width, height, in the drawing's own units. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Named {
  readonly x: number;
  readonly y: number;
  readonly text: string;
}

/** Of a digit; others are about as wide. */
const WIDTH_PER_CHARACTER = 0.62;
/** Beside the point, beyond its own mark. */
const AWAY = 6;

/** From the point: to the right above it, below it; to the left above it, below it. */
const SIDES = [
  [1, -1],
  [1, 1],
  [-1, -1],
  [-1, 1],
] as const;

/**
 * Each name at the first of four places beside its point that is free, in the order given.
 * @param heightOfText  of a line of it
 * @param taken  where nothing may stand
 * @returns for each the box of its text; undefined where there is no room: better no name than one that nobody can read
 */
export function labelPlaces(points: readonly Named[], heightOfText: number, taken: readonly Box[]): readonly (Box | undefined)[] {
  const used = [...taken];
  return points.map(({ x, y, text }) => {
    const [width, height] = [text.length * heightOfText * WIDTH_PER_CHARACTER, heightOfText];
    const places = SIDES.map(([right, down]): Box => {
      return { x: right > 0 ? x + AWAY : x - AWAY - width, y: down > 0 ? y + AWAY / 2 : y - AWAY / 2 - height, width, height };
    });
    const free = places.find((place) => !used.some((other) => overlaps(place, other)));
    if (free) used.push(free);
    return free;
  });
}

export const overlaps = (a: Box, b: Box): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
