import type { VersionKeeper } from '../../src/storage/versions';

/** A keeper of earlier versions that has none and keeps none. */
export const NO_VERSIONS: VersionKeeper = {
  replaced: () => {},
  settled: async () => true,
  keep: async () => {},
  list: async () => [],
  size: async () => null,
  async *texts() {},
  take: async () => ({ came: [], whole: false }),
  withdraw: async () => false,
  forget: () => {},
  prune: async () => {},
  close: async () => {},
};
