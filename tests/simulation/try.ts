import { planFaults } from './plan-of-faults.ts';
import { Simulation } from './simulation.ts';
import { firmataLibraries } from '../../host/links/firmata/lasting-parts.ts';
await firmataLibraries();
for (let seed = Number(process.argv[2] ?? 1), i=0; i < Number(process.argv[3] ?? 3); i++, seed++) {
  const plan = planFaults(seed);
  const s = new Simulation(plan);
  const t = performance.now();
  const well = await s.run();
  console.log(seed, (performance.now() - t).toFixed(0), 'ms; well', well, 'range s', s.nowS.toFixed(2), 'lives', s.lives.length, s.lives.map((l) => `${l.sessionId} ${l.ended} ev${l.events.length} safe ${l.recordsSafe}/${l.records.length}`), 'ledger', s.ledger.captures, s.ledger.letGo.length, s.ledger.held.length, s.ledger.lost.length, s.lives.flatMap((l) => l.events.filter((e) => e.type === 'shot' && e.phase === 'closed').map((e) => e.type === 'shot' && e.shot.flags.join(','))));
  if (!well) console.log(plan.mishaps, s.host?.state.boards);
}
