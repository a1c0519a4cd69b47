/**
 * Who may import whom. One line a folder; whatever is not listed is forbidden.
 * DEVELOPERS.md gives the reasons.
 */
const may = {
  protocol: [],
  'host/units': [],
  'host/physics': ['host/units'],
  'host/metrology': ['host/units'],
  'host/charts': ['host/units', 'protocol'],
  'host/rig': ['host/units', 'protocol'],
  'host/pipeline': ['protocol', 'host/physics', 'host/metrology', 'host/rig', 'host/units'],
  'host/analysis': ['protocol', 'host/physics', 'host/metrology', 'host/rig', 'host/units'],
  'host/links': ['protocol', 'host/rig'],
  'host/journal': ['protocol'],
  // Not the pipeline: it speaks of events only, so that whoever has events can have lines.
  'host/series': ['protocol', 'host/rig'],
  'host/store': ['host/pipeline', 'protocol'],
  'host/serve': ['host/pipeline', 'host/store', 'host/analysis', 'protocol'],
  'host/cli': ['host/', 'protocol'],
  // What makes the package and its tables; not in it.
  'host/package': ['host/', 'protocol'],
  // Not host/physics: tests hold the one against the other.
  'firmware-sim': ['protocol'],
  dashboards: ['protocol', 'host/units', 'host/charts'],
};

module.exports = {
  forbidden: [
    { name: 'no-circles', severity: 'error', from: {}, to: { circular: true } },
    ...Object.entries(may).map(([folder, targets]) => ({
      name: `imports-of-${folder.replace('/', '-')}`,
      severity: 'error',
      from: { path: `^${folder}/` },
      to: { path: '^(protocol|host|firmware-sim|dashboards|tests)/', pathNot: [folder, ...targets].map((target) => `^${target}`) },
    })),
    { name: 'tests-stay-outside', severity: 'error', from: { pathNot: '^tests/' }, to: { path: '^tests/' } },
    {
      name: 'dashboards-take-types-only-from-protocol',
      severity: 'error',
      from: { path: '^dashboards/' },
      // But for the reader of camera tracks, a file that a person opens in the page is judged there by the same rules; and
      // for what a shot came to, which page and host put together alike.
      to: { path: '^protocol/', pathNot: '^protocol/(track-file|asked)\\.ts$', dependencyTypesNot: ['type-only'] },
    },
    { name: 'nothing-missing', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    // Built pages: their chunks import each other as the bundler pleases.
    exclude: { path: '^dashboards/dist/' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
      extensions: ['.ts', '.tsx', '.js', '.cjs', '.json'],
    },
  },
};
