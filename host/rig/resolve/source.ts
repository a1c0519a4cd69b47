/** Where a channel's raw number comes from, and whether its board has that. */
import { ANALOG_PINS, BME280_VALUES, type BoardSetup } from '../board-setup.ts';
import type { ChannelSource } from '../channel.ts';
import { namesIn } from '../check-text-layout.ts';
import type { Report } from '../fields.ts';
import type { ChannelShape } from '../schema/channels.ts';
import type { Path } from '../source.ts';
import { bme280Value } from './bme280.ts';

/** @param board  undefined where no board of that name is described, which is told elsewhere */
export function resolveSource(name: string, shape: ChannelShape, board: BoardSetup | undefined, path: Path, report: Report): ChannelSource {
  const { channel, reads } = shape;
  if (board?.kind === 'gate-board') {
    if (reads !== undefined)
      report(
        [...path, 'reads'],
        `${board.name} is a gate board, whose channels have numbers; write channel: and the number instead`,
        'key',
      );
    else if (channel === undefined) report([...path, 'channel'], 'the key "channel" is missing; add it');
    return { kind: 'number', channel: channel ?? Number.NaN };
  }
  if (board === undefined) return channel === undefined ? { kind: 'name', reads: reads ?? '' } : { kind: 'number', channel };
  if (channel !== undefined)
    report([...path, 'channel'], `channel goes with gate boards, and ${board.name} is of kind ${board.kind}; write reads: instead`, 'key');
  else if (reads === undefined) report([...path, 'reads'], `the key "reads" is missing; add it, with ${availableText(board)}`);
  else checkAvailable(name, reads, board, path, report);
  return { kind: 'name', reads: reads ?? '' };
}

/** undefined where the board's own description could not be read. */
function available(board: BoardSetup): readonly string[] | undefined {
  if (board.kind === 'text') return namesIn(board.layout);
  if (board.kind === 'gate-board') return [];
  const pins = Array.from({ length: ANALOG_PINS }, (_, i) => `A${i}`);
  return board.bme280Address === undefined ? pins : [...pins, ...BME280_VALUES];
}

function availableText(board: BoardSetup): string {
  if (board.kind === 'firmata')
    return `A0 to A${ANALOG_PINS - 1}${board.bme280Address === undefined ? '' : `, ${BME280_VALUES.join(', ')}`}`;
  return available(board)?.join(', ') ?? 'a name from its lines';
}

function checkAvailable(name: string, reads: string, board: BoardSetup, path: Path, report: Report): void {
  const names = available(board);
  if (names === undefined || names.length === 0 || names.includes(reads)) return;
  const advice =
    board.kind === 'firmata' && bme280Value(reads) !== undefined
      ? `add bme280: 0x76 or 0x77 to the board; without it there are ${availableText(board)}`
      : `there are ${availableText(board)}`;
  report([...path, 'reads'], `${board.name} has no "${reads}" for ${name} to read; ${advice}`);
}
