import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    // No test is near them; they end one that hangs, also on a machine that others use.
    testTimeout: 60_000,
    hookTimeout: 60_000,
    env: { TZ: 'UTC' },
    // The runner leaves one processor free by itself, which on two is half of them.
    maxWorkers: '100%',
    projects: [
      {
        extends: true,
        test: {
          name: 'rooms',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/adapters/**'],
          // The rooms under `src` are pure: no test changes what another one imports, so a worker loads each module once.
          isolate: false,
        },
      },
      {
        extends: true,
        test: {
          name: 'adapters',
          include: ['tests/adapters/**/*.test.ts'],
          // Each file gives back what it takes: servers, folders, settings of the process. The packages of the chats take longer to load
          // than most files take to run, so a worker loads them once too.
          isolate: false,
          globalSetup: ['tests/tools/memory-folder.ts', 'tests/tools/shared-postgres.ts'],
        },
      },
    ],
  },
})
