/** How soon a command answers, against Node starting up to do nothing. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { startUpMs } from '../../support/cost/start-up.ts';
import { HERON_TEXT } from '../../support/heron.ts';
import { median } from '../costs.ts';
import type { Section } from '../section.ts';

const MAIN = ['--import', 'tsx', 'host/cli/main.ts'];
const LISTENS = /watch it at \S+/;

export const start: Section = async function* ({ isSmall, folder }) {
  const rig = join(folder, 'heron.yaml');
  writeFileSync(rig, HERON_TEXT);
  let runs = 0;
  const commands = [
    { name: 'helpToBareNode', what: '`postern --help`', args: () => ['--help'], timesMax: 12 },
    { name: 'checkToBareNode', what: '`postern check`', args: () => ['check', rig], timesMax: 15 },
    {
      name: 'runToBareNode',
      what: '`postern run` until it listens',
      args: () => ['run', rig, '--port', '0', '--data', join(folder, `run${runs++}`)],
      timesMax: 30,
      until: LISTENS,
    },
  ] as const;
  for (const command of commands) {
    const pairs: (readonly [bare: number, own: number])[] = [];
    for (let round = 0; round < (isSmall ? 2 : 9); round += 1) {
      const bare = await startUpMs(['-e', '0']);
      pairs.push([bare, await startUpMs([...MAIN, ...command.args()], 'until' in command ? command.until : undefined)]);
    }
    const times = median(pairs.map(([bare, own]) => own / bare));
    const [bareMs, ownMs] = [median(pairs.map(([bare]) => bare)), median(pairs.map(([, own]) => own))];
    yield {
      row: {
        what: `${command.what}, against \`node -e 0\`, median of ${pairs.length} pairs`,
        wanted: `at most ${command.timesMax} times as long`,
        found: `${times.toFixed(1)} (${ownMs.toFixed(0)} ms to ${bareMs.toFixed(0)} ms)`,
        reached: isSmall || times <= command.timesMax,
      },
      ratios: { [command.name]: times },
    };
  }
};
