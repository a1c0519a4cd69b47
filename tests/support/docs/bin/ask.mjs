/** What stands in the place of `npm` and `postern` for a block of the documentation: it asks the test that runs the block. */
import { connect } from 'node:net';

const socket = connect(process.env.POSTERN_DOCS_SOCKET ?? '');
let answer = '';
socket.setEncoding('utf8');
socket.on('data', (text) => {
  answer += text;
});
socket.on('error', (error) => {
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
});
socket.on('end', () => {
  const { exitCode, stdout, stderr } = JSON.parse(answer);
  process.stdout.write(stdout);
  process.stderr.write(stderr);
  process.exitCode = exitCode;
});
socket.end(JSON.stringify({ words: process.argv.slice(2), cwd: process.cwd() }));
