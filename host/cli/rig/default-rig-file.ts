/** What is looked at where no name is given, and begun where it is not there. */
export const DEFAULT_RIG_FILE = 'rig.yaml';
