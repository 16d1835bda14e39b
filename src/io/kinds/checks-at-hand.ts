import { CHECKS } from './checks';
import { giveChecks } from './late-checks';

// Files are read where nothing waits for a first page: in workers and on the command line.
giveChecks(CHECKS);
