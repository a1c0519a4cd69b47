/** Writes the truth beside what was measured, in the host's result file. The host itself never reads it. */
import { readFileSync, writeFileSync } from 'node:fs';
import type { FiredShot } from './live-range.ts';

const MATCH_MS_MAX = 200;

/**
 * @param file  JSON `{ session, shots: [{ firedAt, … }] }`; each shot within 0.2 s of a firing gets `truth`
 * @returns how many got it
 * @throws Error where the file cannot be read, is no such JSON, or cannot be written
 */
export function annotate(file: string, fired: readonly FiredShot[]): number {
  const result: unknown = JSON.parse(readFileSync(file, 'utf8'));
  if (!isObject(result) || !Array.isArray(result.shots)) throw new Error(`${file}: no list of shots in it`);
  let matched = 0;
  const shots = result.shots.map((shot: unknown) => {
    const truth = isObject(shot) && typeof shot.firedAt === 'string' ? nearest(Date.parse(shot.firedAt), fired) : undefined;
    if (!truth) return shot;
    matched += 1;
    const { muzzleVelocityMps, targetVelocityMps, reservoirPressurePa } = truth;
    return { ...(shot as object), truth: { muzzleVelocityMps, targetVelocityMps, reservoirPressurePa } };
  });
  writeFileSync(file, `${JSON.stringify({ ...result, shots }, null, 2)}\n`);
  return matched;
}

function nearest(firedAtMs: number, fired: readonly FiredShot[]): FiredShot | undefined {
  const awayMs = (shot: FiredShot): number => Math.abs(Date.parse(shot.firedAt) - firedAtMs);
  const [best] = [...fired].sort((a, b) => awayMs(a) - awayMs(b));
  return best && awayMs(best) <= MATCH_MS_MAX ? best : undefined;
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;
