/** The addresses under which the one document of the pages is served; which page it then shows is the pages' own matter. */
export const PAGE_PATHS: readonly string[] = ['/shot', '/shots', '/map', '/drag', '/camera', '/replay', '/wall', '/fleet', '/set-up'];
