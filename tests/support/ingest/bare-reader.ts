/** What any program does with a board: the serial library and its line parser, and nothing with the lines but to count them. */
import { once } from 'node:events';
import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import { BAUD_RATE } from './lines.ts';
import { answerWith, type Reached } from './reader.ts';

const [path = ''] = process.argv.slice(2);
const port = new SerialPort({ path, baudRate: BAUD_RATE });
await once(port, 'open');
let lines = 0;
let until = Number.POSITIVE_INFINITY;
let reach: (reached: Reached) => void = () => undefined;
port.pipe(new ReadlineParser({ delimiter: '\n' })).on('data', () => {
  lines += 1;
  if (lines === until) reach({ doneNs: Number(process.hrtime.bigint()), cpu: process.cpuUsage() });
});

answerWith({
  begin: (expected) => {
    lines = 0;
    until = expected.lines;
    return new Promise((resolve) => {
      reach = resolve;
    });
  },
  close: async () => {
    port.close();
    await once(port, 'close');
  },
});
