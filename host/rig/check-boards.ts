/** Who is wired to what. */
import { sourceText } from './channel.ts';
import type { Report } from './fields.ts';
import { nearest } from './nearest.ts';
import { isUnresolved } from './resolve/context.ts';
import type { Rig } from './rig.ts';
import { CHANNELS_MAX } from './schema/channels.ts';
import type { Path } from './source.ts';

/** Records from the program itself and from people carry these as their source. */
const RESERVED_NAMES = ['host', 'operator'];
const BOARDS_MAX = 32;
const TICK_RATE_HZ_MAX = 0xffff_ffff;

export function checkBoards(rig: Rig, report: Report): void {
  if (rig.boards.length === 0) {
    report(['boards'], 'no board is described; describe at least one');
    return;
  }
  for (const [i, board] of rig.boards.entries()) {
    checkName(board.name, report);
    for (const key of ['path', 'serialNumber'] as const) {
      const other = rig.boards.slice(0, i).find((before) => before[key] !== undefined && before[key] === board[key]);
      if (other !== undefined)
        report(['boards', board.name, key], `boards ${other.name} and ${board.name} have the same ${key}; correct one of the two`);
    }
    if (board.kind === 'gate-board' && board.tickRateHz.value > TICK_RATE_HZ_MAX)
      report(['boards', board.name, 'tickRate'], `a board tells at most ${TICK_RATE_HZ_MAX} ticks a second; correct the rate`);
  }
  if (rig.boards.length > BOARDS_MAX) report(['boards'], `there are more than ${BOARDS_MAX} boards; leave some out`, 'key');
  checkNames(rig, report);
  checkKinds(rig, report);
  checkInputs(rig, report);
  checkChannels(rig, report);
}

function checkName(name: string, report: Report): void {
  if (!/^[A-Za-z0-9_-]{1,24}$/.test(name))
    report(['boards', name], `the board name "${name}" must be 1 to 24 letters, digits, - or _; write another`, 'key');
  if (RESERVED_NAMES.includes(name))
    report(['boards', name], `the board name "${name}" is taken by the program itself; write another`, 'key');
}

/** One misspelt board name is one mistake, however many gates and channels hang on it. */
function checkNames(rig: Rig, report: Report): void {
  const known = rig.boards.map((board) => board.name);
  const uses: readonly { readonly board: string; readonly path: Path }[] = [
    ...(rig.trigger === undefined ? [] : [{ board: rig.trigger.board, path: ['trigger', 'board'] }]),
    ...rig.gates.map((gate, i) => ({ board: gate.board, path: ['gates', i, 'board'] })),
    ...rig.channels.map((channel) => ({ board: channel.board, path: ['channels', channel.name, 'board'] })),
  ];
  const reported = new Set<string>();
  for (const { board, path } of uses) {
    if (known.includes(board) || reported.has(board)) continue;
    reported.add(board);
    const others = uses.filter((use) => use.board === board).length - 1;
    const more = others === 0 ? '' : ` (nor in ${others} more ${others === 1 ? 'place' : 'places'})`;
    const near = nearest(board, known);
    const advice = near === undefined ? `boards here are ${known.join(', ')}` : `did you mean "${near}"?`;
    report(path, `no board "${board}" is described under boards${more}; ${advice}`);
  }
}

function checkInputs(rig: Rig, report: Report): void {
  for (const [i, gate] of rig.gates.entries()) {
    const path = ['gates', i, 'input'];
    const same = (other: { readonly board: string; readonly input: number }): boolean =>
      other.board === gate.board && other.input === gate.input;
    const other = rig.gates.slice(0, i).find(same);
    if (other !== undefined)
      report(path, `gates ${other.name} and ${gate.name} are both on input ${gate.input} of ${gate.board}; correct one of the two`);
    else if (rig.trigger !== undefined && same(rig.trigger))
      report(path, `gate ${gate.name} and the trigger are both on input ${gate.input} of ${gate.board}; correct one of the two`);
  }
}

/** Edges come from gate boards alone. */
function checkKinds(rig: Rig, report: Report): void {
  const kindOf = (name: string): string => rig.boards.find((board) => board.name === name)?.kind ?? 'gate-board';
  const uses: readonly { readonly what: string; readonly board: string; readonly path: Path }[] = [
    ...(rig.trigger === undefined ? [] : [{ what: 'the trigger', board: rig.trigger.board, path: ['trigger', 'board'] }]),
    ...rig.gates.map((gate, i) => ({ what: `gate ${gate.name}`, board: gate.board, path: ['gates', i, 'board'] })),
  ];
  for (const { what, board, path } of uses) {
    if (kindOf(board) !== 'gate-board')
      report(path, `${what} is on ${board}, which is of kind ${kindOf(board)}; only a gate-board times edges, so name one`);
  }
}

function checkChannels(rig: Rig, report: Report): void {
  if (rig.channels.length > CHANNELS_MAX) report(['channels'], `there are more than ${CHANNELS_MAX} channels; leave some out`, 'key');
  for (const [i, channel] of rig.channels.entries()) {
    const text = sourceText(channel.source);
    const other = rig.channels.slice(0, i).find((before) => before.board === channel.board && sourceText(before.source) === text);
    // What is missing or misunderstood is told already.
    if (other === undefined || text === '' || text.endsWith('NaN') || isUnresolved(channel.conversion)) continue;
    report(
      ['channels', channel.name, channel.source.kind === 'number' ? 'channel' : 'reads'],
      `${other.name} and ${channel.name} are both ${text} of ${channel.board}; correct one of the two`,
    );
  }
}
