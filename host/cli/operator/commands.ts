/** The crew's commands. Each talks to the session that runs in the same data folder. */
import { type Command, Option } from 'commander';
import type { AcknowledgeOptions } from './acknowledge.ts';
import type { CalibrateOptions, ZeroOptions } from './adjust.ts';

interface By {
  readonly data: string;
  readonly by: string;
}

export function addOperatorCommands(program: Command, dataOption: () => Option): void {
  const by = (): Option => new Option('--by <name>', 'who does it');
  const byRequired = (): Option => by().makeOptionMandatory();
  const command = (name: string, description: string): Command => program.command(name).description(description).addOption(dataOption());

  command('zero', 'sets a channel to what it should show now: a pressure open to the air, or --reads')
    .argument('<channel>')
    .option('--reads <value>', 'what it should show, with its unit, such as "0 MPa gauge"')
    .addOption(by())
    .option('--yes', 'without asking', false)
    .action(async (channel: string, options: ZeroOptions) => (await import('./adjust.ts')).zero(channel, options));

  command('calibrate', 'sets a channel right at two points, step by step')
    .argument('<channel>')
    .addOption(new Option('--point <shows=should>', 'instead of the steps, twice: what it shows = what it should').argParser(gathered))
    .addOption(by())
    .option('--yes', 'without asking', false)
    .action(async (channel: string, options: CalibrateOptions) => (await import('./adjust.ts')).calibrate(channel, options));

  command('holds', 'the hold points, with HOLD and what is missing, or READY; exit code 0 only when ready. It is no interlock').action(
    async (options: { readonly data: string }) => {
      process.exitCode = await (await import('./holds.ts')).holds(options);
    },
  );
  command('tick', 'ticks a hold point of the crew')
    .argument('<hold-point>', 'its id, as postern holds gives it')
    .addOption(byRequired())
    .action(async (id: string, options: By) => (await import('./acts.ts')).tick(id, options, true));
  command('untick', 'takes a tick back')
    .argument('<hold-point>')
    .addOption(byRequired())
    .action(async (id: string, options: By) => (await import('./acts.ts')).tick(id, options, false));
  command('acknowledge', 'an alarm has been seen; without an id, lists those that wait for it')
    .argument('[limit]', 'its id, such as maximum-fill')
    .addOption(by())
    .action(async (id: string | undefined, options: AcknowledgeOptions) => (await import('./acknowledge.ts')).acknowledge(id, options));
  command('note', 'writes a note into the session')
    .argument('<text>')
    .option('--shot <shot>', 'on one shot: its id, or its number in the session')
    .addOption(by())
    .action(async (text: string, options: { readonly data: string; readonly by?: string; readonly shot?: string }) =>
      (await import('./acts.ts')).note(text, options),
    );

  // A distance may begin with a minus, which is no option.
  command('aim', 'where the sight points, from the point that is to be hit; begins a new series')
    .argument('<right>', 'such as "12 mm", "12 mm left" or "-12 mm"')
    .argument('<up>', 'such as "5 mm" or "0.2 in down"')
    .addOption(byRequired())
    .allowUnknownOption()
    .action(async (right: string, up: string, options: By) => (await import('./acts.ts')).aim(right, up, options));
  command('impact', 'where a shot struck, from the point that was to be hit')
    .argument('<shot>', 'its id, or its number in the session')
    .argument('<right>')
    .argument('<up>')
    .addOption(byRequired())
    .allowUnknownOption()
    .action(async (shot: string, right: string, up: string, options: By) => (await import('./acts.ts')).impact(shot, right, up, options));
  command('clip', 'what a camera called its clip of a shot')
    .argument('<shot>', 'its id, or its number in the session')
    .argument('<camera>', 'its name in the rig file')
    .argument('<name>', 'of the clip')
    .addOption(byRequired())
    .action(async (shot: string, camera: string, name: string, options: By) =>
      (await import('./acts.ts')).clip(shot, { camera, name }, options),
    );
  command('withdraw', 'a camera’s track of a shot does not count any more, with a reason; or counts again')
    .argument('<shot>', 'its id, or its number in the session')
    .argument('<camera>', 'its name in the rig file')
    .addOption(new Option('--because <reason>', 'why').makeOptionMandatory())
    .option('--back', 'take it in again', false)
    .addOption(byRequired())
    .action(async (shot: string, camera: string, options: By & { readonly because: string; readonly back: boolean }) =>
      (await import('./acts.ts')).withdraw(shot, camera, options),
    );
  command('exclude', 'leaves a shot out of every mean and fit, with a reason; or takes it in again')
    .argument('<shot>', 'its id, or its number in the session')
    .addOption(new Option('--because <reason>', 'why').makeOptionMandatory())
    .option('--back', 'take it in again', false)
    .addOption(byRequired())
    .action(async (shot: string, options: By & { readonly because: string; readonly back: boolean }) =>
      (await import('./acts.ts')).exclude(shot, options),
    );
  command('weigh', 'the projectile of a shot had another mass than the rig file says: the shot is reduced anew with it')
    .argument('<shot>', 'its id, or its number in the session')
    .argument('[mass]', 'such as "125.4 g ± 0.1 g"')
    .addOption(new Option('--because <reason>', 'why').makeOptionMandatory())
    .option('--back', 'the mass of the rig file counts again', false)
    .addOption(byRequired())
    .action(async (shot: string, mass: string | undefined, options: By & { readonly because: string; readonly back: boolean }) =>
      (await import('./acts.ts')).weigh(shot, mass, options),
    );
}

const gathered = (text: string, before: readonly string[] | undefined): readonly string[] => [...(before ?? []), text];
