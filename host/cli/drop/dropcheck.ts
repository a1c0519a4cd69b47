/** `postern dropcheck`: balls dropped through an upright pair of gates, held against what gravity makes of it. */

import { type DropCheck, dropCheck } from '../../analysis/drop/index.ts';
import { standardUncertainty } from '../../metrology/index.ts';
import { GRAVITY_ANOMALY, GRAVITY_ANYWHERE, localGravityMps2 } from '../../physics/index.ts';
import { toResult } from '../../pipeline/result.ts';
import type { Rig, UncertainSi } from '../../rig/index.ts';
import { parseQuantity } from '../../units/index.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { journalRecords } from '../data/journal-records.ts';
import { sessionJournals } from '../data/session-journals.ts';
import { askedValue } from '../map/asked-values.ts';
import { CommandError, say, writeJson } from '../output.ts';
import { dropLines } from './drop-lines.ts';
import { edgesOfJournal } from './edges-of-journal.ts';

export interface DropcheckOptions {
  readonly data: string;
  readonly pair?: string;
  readonly height: string;
  readonly latitude?: number;
  readonly altitude?: string;
  readonly budget: boolean;
  readonly json?: string | true;
}

const HEIGHT_EXAMPLE = '"400 mm ± 1 mm"';

/** Exit code 0 only where the gates agree with gravity. */
export function dropcheck(journal: string | undefined, options: DropcheckOptions): void {
  const heightM = heightOf(options.height);
  const gravityMps2 = gravityOf(options);
  const path = journal ?? newestJournal(options.data);
  const heard = edgesOfJournal(journalRecords(path));
  if (!heard.rig) throw new CommandError(`${path} holds no rig file that can be used: there are no gates to ask.`);
  const gates = gatesOf(heard.rig, options.pair);
  const [{ board, name }, { board: other, name: otherName }] = gates;
  if (board !== other)
    throw new CommandError(
      `${name} and ${otherName} are on two boards, ${board} and ${other}: a drop is timed by one. Put both on one for it.`,
      2,
    );
  const check = dropCheck(heard.edgesOf(board), { rig: heard.rig, gates, heightM, gravityMps2 }, heard.clockOf(board));
  if (options.json !== undefined) writeJson(options.json, dropJson(path, check));
  else for (const line of dropLines(check, { journal: path, gates, heightM, withBudget: options.budget })) say(line);
  if (!check.found) {
    const { length } = check.otherBlocks;
    const seen =
      length === 0
        ? `neither ${name} nor ${otherName} was blocked`
        : `of ${length} times that ${name} or ${otherName} was blocked, no two fit a fall`;
    throw new CommandError(`No drop in ${path}: ${seen}. Look at the pair (--pair), the height (--height) and the wiring of both gates.`);
  }
  if (Math.abs(check.found.score) > 1) process.exitCode = 1;
}

function heightOf(text: string): UncertainSi {
  const read = parseQuantity(text, 'length', { uncertainty: 'required' });
  if (!read.ok) throw new CommandError(`--height "${text}": ${read.problem.message}; write it as --height ${HEIGHT_EXAMPLE}.`, 2);
  const { valueSi: value, standardUncertaintySi: standardUncertainty = 0 } = read;
  if (!(value > 0 && value <= HEIGHT_M_MAX))
    throw new CommandError(`--height "${text}": give more than 0 and at most ${HEIGHT_M_MAX} m.`, 2);
  return { value, standardUncertainty };
}

/** Higher, a ball is no longer let go by hand, and drag is no small correction any more. */
const HEIGHT_M_MAX = 5;

function gravityOf({ latitude, altitude }: DropcheckOptions): UncertainSi {
  if (latitude === undefined) {
    if (altitude !== undefined) throw new CommandError('--altitude goes with --latitude: gravity hangs on both.', 2);
    return { value: GRAVITY_ANYWHERE.value, standardUncertainty: GRAVITY_ANYWHERE.halfWidth / Math.sqrt(3) };
  }
  const heightM = altitude === undefined ? 0 : askedValue('--altitude', altitude, 'length', '--altitude "250 m"');
  return { value: localGravityMps2(latitude, heightM), standardUncertainty: GRAVITY_ANOMALY };
}

function newestJournal(data: string): string {
  const newest = sessionJournals(openDataFolder(data)).at(-1);
  if (!newest) throw new CommandError(`There is no journal in ${data} yet: drop a ball while postern run or postern demo --drop records.`);
  return newest.path;
}

function gatesOf({ gates }: Rig, wanted: string | undefined): readonly [Rig['gates'][number], Rig['gates'][number]] {
  const pairs = [...new Set(gates.map(({ pair }) => pair))];
  const pair = wanted ?? pairs[0];
  const [one, two, ...more] = gates.filter((gate) => gate.pair === pair);
  if (!one || !two || more.length > 0)
    throw new CommandError(`--pair ${pair}: no pair of two gates of that name; there are ${pairs.join(', ')}.`, 2);
  return [one, two];
}

function dropJson(journal: string, { expected, drops, otherBlocks, found }: DropCheck): object {
  const measured = (estimate: DropCheck['expected']['timeS']) => ({
    value: estimate.value,
    standardUncertainty: standardUncertainty(estimate),
  });
  return {
    journal,
    spacingM: measured(expected.spacingM),
    expectedTimeS: measured(expected.timeS),
    drops: drops.map(({ blocks: [upper, lower], timeS }) => ({
      gates: [upper.gate, lower.gate],
      atS: upper.fromS,
      timeS: measured(timeS),
    })),
    otherBlocks: otherBlocks.length,
    ...(found ? { relativeDifference: toResult(found.relativeDifference, '1'), score: found.score, explainedBy: found.explainedBy } : {}),
  };
}
