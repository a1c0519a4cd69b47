/** How a user calls a command on the host's computer: said by whoever builds the package; otherwise it is run from the sources. */
export const CALLED_AS: string = import.meta.env.VITE_CALLED_AS ?? 'npm run postern --';
