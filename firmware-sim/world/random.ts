/**
 * Seeded chance. Each part of the world draws from a stream of its own name, so that adding a draw in one place
 * changes nothing in another, and a run can be repeated to the byte.
 */
export interface Random {
  /** In [0, 1). */
  uniform(): number;
  between(low: number, high: number): number;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
  /** Integer in [0, below). */
  integer(below: number): number;
}

/** FNV-1a, 32 bit, over the name's UTF-16 units; finished with the murmur3 mixer. */
export function hashName(seed: number, name: string): number {
  let h = 0x811c9dc5 ^ (seed >>> 0) ^ Math.imul(Math.floor(seed / 2 ** 32), 0x9e3779b1);
  for (let i = 0; i < name.length; i++) h = Math.imul(h ^ name.charCodeAt(i), 0x01000193);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/**
 * @param seed  safe integer, >= 0
 * @param name  of the stream
 * Generator: sfc32 (Chris Doty-Humphrey, PractRand), 128 bits of state, warmed by 16 rounds.
 */
export function randomStream(seed: number, name: string): Random {
  let a = hashName(seed, name);
  let b = hashName(seed, `${name}/b`);
  let c = seed >>> 0;
  let counter = 1;
  const next = (): number => {
    const t = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + t) | 0;
    return t >>> 0;
  };
  for (let i = 0; i < 16; i++) next();
  const uniform = (): number => next() / 2 ** 32;
  let spare: number | undefined;
  return {
    uniform,
    between: (low, high) => low + (high - low) * uniform(),
    integer: (below) => Math.floor(uniform() * below),
    normal: () => {
      if (spare !== undefined) {
        const value = spare;
        spare = undefined;
        return value;
      }
      // Box–Muller; 1 − u keeps the logarithm finite.
      const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
      const angle = 2 * Math.PI * uniform();
      spare = radius * Math.sin(angle);
      return radius * Math.cos(angle);
    },
  };
}
