# SPDX-License-Identifier: GPL-3.0-or-later
"""Prints the share of lines run per folder from gcovr's JSON summary; 1 below 95 % of all."""
import json
import sys
from collections import Counter

LEAST = 0.95


def main():
    total, covered = Counter(), Counter()
    with open(sys.argv[1], encoding='utf-8') as file:
        files = json.load(file)['files']
    for entry in files:
        for folder in (entry['filename'].rsplit('/', 1)[0], 'all'):
            total[folder] += entry['line_total']
            covered[folder] += entry['line_covered']
    for entry in sorted(files, key=lambda e: e['line_covered'] - e['line_total'])[:20]:
        print(f"{entry['line_total'] - entry['line_covered']:5d} lines never run in "
              f"{entry['filename']}")
    for folder in sorted(total, key=lambda name: (name == 'all', name)):
        print(f'{folder:16s} {100 * covered[folder] / total[folder]:6.2f} % of '
              f'{total[folder]:6d} lines')
    return 0 if files and covered['all'] >= LEAST * total['all'] else 1


if __name__ == '__main__':
    sys.exit(main())
