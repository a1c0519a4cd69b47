/** The beginning of a rig file: what was found at the ports, and a place for each thing that only its user knows. */
import type { Heard } from '../../links/index.ts';
import { BLANK } from '../../rig/index.ts';

export interface FoundDevice {
  readonly path: string;
  readonly serialNumber?: string;
  readonly detail: string;
  readonly heard: Heard;
}

const PORT_BLANK = `    path: ${BLANK}, such as /dev/serial/by-id/usb-gate-board-port0`;

/** @param schemaFile  beside the rig file, for editors */
export function starterText(devices: readonly FoundDevice[], schemaFile: string): string {
  const boards = named(devices);
  const gateBoard = boards.find(({ device }) => device.heard.kind === 'gate-board')?.name ?? 'gate-board';
  const blocks = boards.map(({ name, device }) => boardLines(name, device).join('\n'));
  const withGates = boards.some(({ device }) => device.heard.kind === 'gate-board')
    ? blocks
    : [[`  ${gateBoard}: # none was heard`, PORT_BLANK, '    baudRate: 500000', TICK_RATE].join('\n'), ...blocks];
  const silent = devices.flatMap(({ path, detail, heard }) =>
    heard.kind === 'nothing' ? `  # port ${comment(path)}${detail === '' ? '' : ` (${comment(detail)})`}: ${comment(heard.why)}\n` : [],
  );
  return `# yaml-language-server: $schema=./${schemaFile}
# The beginning of a rig file. What only you know says ${BLANK}; \`postern check\` names each such place that is left, and
# docs/rig-file.md says what each key is for. Pressures say gauge or absolute; ± is expanded (k = 2) unless k=, std or rect
# says otherwise. The figures after "such as" are those of an invented rig: yours are others.
rig: 1
name: ${BLANK}, such as Heron
site: ${BLANK}, such as Cold Sike

projectile:
  name: ${BLANK}, such as polyamide ball 60 mm
  diameter: ${BLANK}, such as 59.80 mm ± 0.05 mm
  mass: ${BLANK}, such as 126.0 g ± 0.2 g

reservoir:
  gas: ${BLANK}, such as nitrogen
  volume: ${BLANK}, such as 45 L
  ratedPressure: ${BLANK}, such as 4.0 MPa gauge
  maximumFill: ${BLANK}, such as 3.8 MPa gauge

barrel:
  bore: ${BLANK}, such as 60 mm
  length: ${BLANK}, such as 5.5 m

target: ${BLANK}, such as 11.000 m ± 5 mm

boards:
${withGates.join('\n')}
${silent.join('')}
trigger: { board: ${gateBoard}, input: 0 }

# Where the beams are, in front of the muzzle. Two gates of one pair make one velocity; a second pair shows the drag.
gates:
${GATES.map(([name, pair, input, position]) => `  - name: ${name}\n    pair: ${pair}\n    board: ${gateBoard}\n    input: ${input}\n    position: ${BLANK}, such as ${position} ± 0.2 mm`).join('\n')}

channels:
  reservoirPressure:
    board: ${gateBoard}
    channel: 0
    calibration: ${BLANK}, such as [[6553, 0 MPa gauge], [58981, 6 MPa gauge]]
    uncertainty: ${BLANK}, such as ± 0.25 % of span
`;
}

const TICK_RATE = `    tickRate: ${BLANK}, such as 16 MHz ± 50 ppm rect`;
const GATES = [
  ['A1', 'A', 1, '1.5000 m'],
  ['A2', 'A', 2, '2.5000 m'],
  ['B1', 'B', 3, '9.0000 m'],
  ['B2', 'B', 4, '10.0000 m'],
] as const;

interface NamedDevice {
  readonly name: string;
  readonly device: FoundDevice;
}

const NAMES = { 'gate-board': 'gate-board', firmata: 'weather-board', text: 'instrument' } as const;

/** Those that said something; of two alike the second has a number. */
function named(devices: readonly FoundDevice[]): readonly NamedDevice[] {
  const counts = new Map<string, number>();
  return devices.flatMap((device) => {
    if (device.heard.kind === 'nothing') return [];
    const base = NAMES[device.heard.kind];
    const count = (counts.get(base) ?? 0) + 1;
    counts.set(base, count);
    return { name: count === 1 ? base : `${base}-${count}`, device };
  });
}

function boardLines(name: string, { path, serialNumber, detail, heard }: FoundDevice): readonly string[] {
  const port = [
    `    path: ${JSON.stringify(path)}`,
    ...(serialNumber === undefined ? [] : [`    serialNumber: ${JSON.stringify(serialNumber)}`]),
  ];
  const head = `  ${name}:${detail === '' ? '' : ` # ${comment(detail)}`}`;
  switch (heard.kind) {
    case 'gate-board':
      return [
        head,
        ...port,
        `    baudRate: ${heard.baudRate}`,
        ...(heard.boardId === undefined ? [] : [`    boardId: ${heard.boardId}`]),
        TICK_RATE,
      ];
    case 'firmata':
      return [
        `${head}${detail === '' ? ' #' : ','} says ${comment(heard.firmware)}`,
        '    kind: firmata',
        ...port,
        `    baudRate: ${heard.baudRate}`,
        '    # bme280: 0x76 # where it has one; then channels airTemperature, airPressure and airHumidity read it',
      ];
    case 'text':
      return [
        head,
        '    kind: text',
        ...port,
        `    baudRate: ${heard.baudRate}`,
        `    example: ${JSON.stringify(heard.line)}`,
        `    pattern: ${BLANK}, such as ^P=(?<pressure>[-+]?\\d+\\.\\d{3}) bar$`,
      ];
    case 'nothing':
      return [];
  }
}

/** Whatever a device says, it stays one line of a comment. */
const comment = (text: string): string => text.replace(/[^\x20-\x7e]/g, '?').slice(0, 120);
