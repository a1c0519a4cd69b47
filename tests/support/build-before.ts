/** Before all files that run commands: so that no test of theirs waits for the making. */
import { buildProgram } from './built-program.ts';

export default (): void => void buildProgram();
