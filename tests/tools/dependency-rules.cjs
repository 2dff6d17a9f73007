/** Which room may import which. The table in DEVELOPERS.md says the same in words; tests/architecture proves it bites. */
const MAY_IMPORT = {
  terms: [],
  case: ['terms'],
  intake: ['case', 'terms'],
  optics: ['terms'],
  risk: ['terms'],
  surgery: ['terms'],
  precautions: ['terms', 'case'],
  plan: ['terms', 'case', 'intake', 'optics', 'risk', 'surgery', 'precautions'],
  consult: ['terms', 'case', 'plan'],
  trail: ['terms', 'case', 'plan', 'consult'],
  learning: ['terms', 'case', 'plan', 'consult', 'optics', 'risk'],
  cards: ['terms', 'case', 'plan', 'consult', 'trail'],
  views: ['terms', 'consult', 'cards', 'learning'],
  desk: ['terms', 'case', 'intake', 'precautions', 'plan', 'consult', 'trail', 'cards'],
}

/** Packages a room of the core may use. Node's own hashing is computation, not input or output. */
const MAY_USE = {
  case: ['zod'],
  precautions: ['zod', 'json-rules-engine', 'crypto'],
  plan: ['zod', 'crypto'],
  consult: ['zod'],
  trail: ['zod', 'crypto'],
  cards: ['zod', 'd3-scale'],
  views: ['@slack/types', 'zod', 'd3-scale'],
  desk: ['zod', 'crypto'],
}

const rooms = Object.keys(MAY_IMPORT)

const roomRules = rooms.map((room) => ({
  name: `${room}-imports-only-its-rooms`,
  comment: `src/${room} may import ${MAY_IMPORT[room].join(', ') || 'nothing'}`,
  severity: 'error',
  from: { path: `^src/${room}/` },
  to: { path: '^(src|adapters)/', pathNot: `^src/(${[room, ...MAY_IMPORT[room]].join('|')})/` },
}))

const packageRules = rooms.map((room) => ({
  name: `${room}-uses-only-its-packages`,
  comment: `src/${room} may use ${(MAY_USE[room] ?? []).join(', ') || 'no package'}; it does no input or output`,
  severity: 'error',
  from: { path: `^src/${room}/` },
  to: {
    dependencyTypesNot: ['local', 'localmodule'],
    pathNot: (MAY_USE[room] ?? []).length
      ? `(^|node_modules/)(${MAY_USE[room].map((name) => name.replace('/', '\\/')).join('|')})(/|$)|^src/`
      : '^src/',
  },
}))

module.exports = {
  forbidden: [
    ...roomRules,
    ...packageRules,
    {
      name: 'core-never-imports-adapters',
      comment: 'the core is pure; adapters depend on it, never the other way round',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^adapters/' },
    },
    {
      name: 'chats-stay-apart',
      comment: 'one chat adapter never imports another',
      severity: 'error',
      from: { path: '^adapters/(slack|teams|web)/' },
      to: { path: '^adapters/(slack|teams|web)/', pathNot: '^adapters/$1/' },
    },
    {
      name: 'only-main-wires',
      comment: 'adapters are put together in adapters/*.ts and nowhere else',
      severity: 'error',
      from: { path: '^adapters/([^/]+)/' },
      to: { path: '^adapters/', pathNot: '^adapters/$1/|^adapters/rules-folder' },
    },
    {
      name: 'no-cycles',
      comment: 'a cycle hides which part stands on which',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'no-unlisted-package',
      comment: 'a package that package.json does not name breaks on the next install',
      severity: 'error',
      from: {},
      to: { dependencyTypes: ['npm-no-pkg', 'npm-unknown', 'unknown'] },
    },
    {
      name: 'not-unresolvable',
      comment: 'an import that resolves to nothing',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true },
    },
  ],
  options: {
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    doNotFollow: { path: 'node_modules' },
    enhancedResolveOptions: { conditionNames: ['import', 'require', 'node', 'default', 'types'], exportsFields: ['exports'] },
  },
}
