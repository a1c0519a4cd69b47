import { runSeed } from './run-seed.ts';

for (let seed = Number(process.argv[2] ?? 1), i = 0; i < Number(process.argv[3] ?? 3); i++, seed++) {
  const c = process.cpuUsage();
  const r = await runSeed(seed);
  const u = process.cpuUsage(c);
  console.log(
    seed,
    ((u.user + u.system) / 1000).toFixed(0),
    'cpu ms',
    r.rangeS.toFixed(1),
    's',
    r.lives,
    'lives',
    r.shots,
    r.unflagged,
    r.scores.map((s) => s.toFixed(1)),
    r.hash.slice(0, 8),
    r.violations,
  );
}
