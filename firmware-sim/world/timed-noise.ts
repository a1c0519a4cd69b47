/** Noise that belongs to a moment: the same moment gives the same noise, whoever asks, in whatever order, as often as he likes. */
import { hashName } from './random.ts';

/** Moments that lie closer together share their noise. */
const MOMENT_S = 1e-5;

/** @returns about normal with standard deviation 1, from a sum of four uniforms: never beyond 3.5 */
export function timedNoise(seed: number, name: string): (timeS: number) => number {
  const from = hashName(seed, `timed/${name}`);
  return (timeS) => {
    const moment = Math.round(timeS / MOMENT_S);
    let h = mixed(from ^ (moment >>> 0) ^ Math.imul(Math.floor(moment / 2 ** 32), 0x9e3779b1));
    let sum = 0;
    for (let i = 0; i < 4; i++) {
      h = mixed((h + 0x9e3779b9) >>> 0);
      sum += h / 2 ** 32 - 0.5;
    }
    return sum * Math.sqrt(3);
  };
}

/** The murmur3 finisher. */
function mixed(value: number): number {
  let h = value;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
