const FRAME_MAX = 1e9;

/** The last number in a file's name, as cameras number their stills: `shot7_000421.png` is frame 421; undefined where there is none. */
export function frameOf(fileName: string): number | undefined {
  const digits = /(\d{1,10})\D*$/.exec(fileName.replace(/\.[^.]*$/, ''))?.[1];
  const frame = digits === undefined ? Number.NaN : Number(digits);
  return frame <= FRAME_MAX ? frame : undefined;
}
