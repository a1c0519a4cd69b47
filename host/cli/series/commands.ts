/** The commands about a server of time series. */
import { type Command, InvalidArgumentError, Option } from 'commander';
// Not through the face of series: whoever only asks what there is does not wait for its client.
import { FLEET_DAYS, FLEET_SHOTS } from '../../series/fleet/reach.ts';
import type { FleetOptions } from './fleet.ts';
import type { SendOptions } from './send.ts';
import type { StatusOptions } from './status.ts';

export function addSeriesCommands(program: Command, options: { readonly data: () => Option; readonly json: () => Option }): void {
  const rig = (): Option => new Option('--rig <file>', 'rig file that names the server; without it, the environment does');

  program
    .command('series')
    .description('is the server of time series there, is it set as it should be, and how far has the data folder been sent')
    .addOption(rig())
    .addOption(options.json())
    .addOption(options.data())
    .action(async (given: StatusOptions) => {
      process.exitCode = await (await import('./status.ts')).seriesStatus(given);
    });

  program
    .command('send')
    .description('sends whole sessions to the server of time series; what it holds already is not doubled')
    .argument('<journal...>', 'journals (.mcap)')
    .addOption(new Option('--rig <file>', "rig file that names the server; without it, the environment or the journal's own does"))
    .action(async (journals: readonly string[], given: SendOptions) => (await import('./send.ts')).send(journals, given));

  program
    .command('fleet')
    .description('the rigs that write to the server of time series, their state, their last shots')
    .addOption(rig())
    .addOption(new Option('--days <n>', 'how far to look back').default(FLEET_DAYS.usual).argParser(upTo(FLEET_DAYS.most)))
    .addOption(new Option('--shots <n>', 'shots listed').default(FLEET_SHOTS.usual).argParser(upTo(FLEET_SHOTS.most)))
    .addOption(options.json())
    .action(async (given: FleetOptions) => (await import('./fleet.ts')).fleet(given));
}

const upTo =
  (most: number) =>
  (text: string): number => {
    if (!/^[1-9]\d{0,8}$/.test(text) || Number(text) > most) throw new InvalidArgumentError(`Give a whole number from 1 to ${most}.`);
    return Number(text);
  };
