import type { Rig } from '../../rig/index.ts';

/** Why an act is refused that names what is not there: with the names that are, for whoever types them. */
export const noSuch = (what: string, name: string, known: readonly string[]): string =>
  known.length === 0
    ? `there is no ${what} ${name}; the rig file has none`
    : `there is no ${what} ${name}; those of this rig are ${known.join(', ')}`;

export const noSuchChannel = ({ channels }: Rig, name: string): string =>
  noSuch(
    'channel',
    name,
    channels.map((channel) => channel.name),
  );
