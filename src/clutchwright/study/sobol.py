"""Scrambled Sobol points, bit for bit those of scipy.

Loading `scipy.stats` takes half a second, more than a whole study of one bike, and nothing else of it is needed there.
So these hold the first `DIMENSIONS`, enough for any bike; it is loaded for more.
"""

from __future__ import annotations

import numpy as np

from clutchwright.quantity import Array

_BITS = 64

# Of each dimension from the second on: its primitive polynomial modulo 2, written as a number whose bits are the
# coefficients, and its first direction numbers. From the file "new-joe-kuo-6.21201" that goes with Joe and Kuo (2008).
#
# Copyright (c) 2008, Frances Y. Kuo and Stephen Joe. All rights reserved. Redistribution and use in source and binary
# forms, with or without modification, are permitted provided that the following conditions are met: Redistributions of
# source code must retain the above copyright notice, this list of conditions and the following disclaimer.
# Redistributions in binary form must reproduce the above copyright notice, this list of conditions and the following
# disclaimer in the documentation and/or other materials provided with the distribution. Neither the names of the
# copyright holders nor the names of the University of New South Wales and the University of Waikato and its
# contributors may be used to endorse or promote products derived from this software without specific prior written
# permission. This software is provided by the copyright holders "as is" and any express or implied warranties,
# including, but not limited to, the implied warranties of merchantability and fitness for a particular purpose are
# disclaimed. In no event shall the copyright holders be liable for any direct, indirect, incidental, special,
# exemplary, or consequential damages (including, but not limited to, procurement of substitute goods or services; loss
# of use, data, or profits; or business interruption) however caused and on any theory of liability, whether in
# contract, strict liability, or tort (including negligence or otherwise) arising in any way out of the use of this
# software, even if advised of the possibility of such damage.
_TABLE = """
3: 1
7: 1 3
11: 1 3 1
13: 1 1 1
19: 1 1 3 3
25: 1 3 5 13
37: 1 1 5 5 17
41: 1 1 5 5 5
47: 1 1 7 11 19
55: 1 1 5 1 1
59: 1 1 1 3 11
61: 1 3 5 5 31
67: 1 3 3 9 7 49
91: 1 1 1 15 21 21
97: 1 3 1 13 27 49
103: 1 1 1 15 7 5
109: 1 3 1 15 13 25
115: 1 1 5 5 19 61
131: 1 3 7 11 23 15 103
137: 1 3 7 13 13 15 69
143: 1 1 3 13 7 35 63
145: 1 3 5 9 1 25 53
157: 1 3 1 13 9 35 107
167: 1 3 1 5 27 61 31
171: 1 1 5 11 19 41 61
185: 1 3 5 3 3 13 69
191: 1 1 7 13 1 19 1
193: 1 3 7 5 13 19 59
203: 1 1 3 9 25 29 41
211: 1 3 5 13 23 1 55
213: 1 3 7 3 13 59 17
229: 1 3 1 3 5 53 69
239: 1 1 5 5 23 33 13
241: 1 1 7 7 1 61 123
247: 1 1 7 9 13 61 49
253: 1 3 3 5 3 55 33
285: 1 3 1 15 31 13 49 245
299: 1 3 5 15 31 59 63 97
301: 1 3 1 11 11 11 77 249
333: 1 3 1 11 27 43 71 9
351: 1 1 7 15 21 11 81 45
355: 1 3 7 3 25 31 65 79
357: 1 3 1 1 19 11 3 205
361: 1 1 5 9 19 21 29 157
369: 1 3 7 11 1 33 89 185
391: 1 3 3 3 15 9 79 71
397: 1 3 7 11 15 39 119 27
425: 1 1 3 1 11 31 97 225
451: 1 1 1 3 23 43 57 177
463: 1 3 7 7 17 17 37 71
487: 1 3 1 5 27 63 123 213
501: 1 1 3 5 11 43 53 133
529: 1 3 5 5 29 17 47 173 479
539: 1 3 3 11 3 1 109 9 69
545: 1 1 1 5 17 39 23 5 343
557: 1 3 1 5 25 15 31 103 499
563: 1 1 1 11 11 17 63 105 183
601: 1 1 5 11 9 29 97 231 363
607: 1 1 5 15 19 45 41 7 383
617: 1 3 7 7 31 19 83 137 221
623: 1 1 1 3 23 15 111 223 83
631: 1 1 5 13 31 15 55 25 161
637: 1 1 3 13 25 47 39 87 257
647: 1 1 1 11 21 53 125 249 293
661: 1 1 7 11 11 7 57 79 323
675: 1 1 5 5 17 13 81 3 131
677: 1 1 7 13 23 7 65 251 475
687: 1 3 5 1 9 43 3 149 11
695: 1 1 3 13 31 13 13 255 487
701: 1 3 3 1 5 63 89 91 127
719: 1 1 3 3 1 19 123 127 237
721: 1 1 5 7 23 31 37 243 289
731: 1 1 5 11 17 53 117 183 491
757: 1 1 1 5 1 13 13 209 345
761: 1 1 3 15 1 57 115 7 33
787: 1 3 1 11 7 43 81 207 175
789: 1 3 1 1 15 27 63 255 49
799: 1 3 5 3 27 61 105 171 305
803: 1 1 5 3 1 3 57 249 149
817: 1 1 3 5 5 57 15 13 159
827: 1 1 1 11 7 11 105 141 225
847: 1 3 3 5 27 59 121 101 271
859: 1 3 5 9 11 49 51 59 115
865: 1 1 7 1 23 45 125 71 419
875: 1 1 3 5 23 5 105 109 75
877: 1 1 7 15 7 11 67 121 453
883: 1 3 7 3 9 13 31 27 449
895: 1 3 1 15 19 39 39 89 15
901: 1 1 1 1 1 33 73 145 379
911: 1 3 1 15 15 43 29 13 483
949: 1 1 7 3 19 27 85 131 431
953: 1 3 3 3 5 35 23 195 349
967: 1 3 3 7 9 27 39 59 297
971: 1 1 3 9 11 17 13 241 157
973: 1 3 7 15 25 57 33 189 213
981: 1 1 7 1 9 55 73 83 217
985: 1 3 3 13 19 27 23 113 249
995: 1 3 5 3 23 43 3 253 479
1001: 1 1 5 5 11 5 45 117 217
"""
_ROWS = [[int(word) for word in line.replace(":", "").split()] for line in _TABLE.split("\n")[1:-1]]
DIMENSIONS = len(_ROWS) + 1


def sobol_points(power: int, count: int, rng: np.random.Generator) -> Array:
    """Scrambled Sobol points, evenly spread over the unit cube.

    Parameters
    ----------
    power : int
        Binary logarithm of how many points [-].
    count : int
        Dimensions, at least 1 [-].
    rng : numpy.random.Generator
        Source of randomness; a stream of its own is branched off from it.

    Returns
    -------
    Array
        Points [-], shape (2 ** power, count), in Gray code order.

    References
    ----------
    Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635 (direction numbers); Antonov and Saleev, USSR Comput. Math. Math.
    Phys. 19 (1979) 252 (Gray code order); Matousek, Journal of Complexity 14 (1998) 527 (linear scramble and shift).
    """
    places = np.arange(_BITS, dtype=np.uint64)
    if count > DIMENSIONS:
        from scipy.stats import qmc

        return np.asarray(qmc.Sobol(count, bits=_BITS, rng=rng).random_base2(power))
    rng = rng.spawn(1)[0]
    shift = rng.integers(0, 2, size=(count, _BITS), dtype=np.uint64) @ (1 << places)
    scramble = np.tril(rng.integers(0, 2, size=(count, _BITS, _BITS), dtype=np.uint64), -1).astype(np.float32)
    directions = np.array([_directions(dimension, power) for dimension in range(count)], dtype=np.uint64)
    # bits from the highest down, shape (count, bits, power); sums of up to 64 ones are exact in float32
    bits = (directions[:, np.newaxis, :] >> places[::-1, np.newaxis] & 1).astype(np.float32)
    mixed = (bits + scramble @ bits).astype(np.uint64) & 1
    directions = np.sum(mixed << places[::-1, np.newaxis], axis=1, dtype=np.uint64)
    points = shift[np.newaxis]
    for bit in range(power):
        # the Gray code of the second half is that of the first, backwards, with one bit more
        points = np.concatenate([points, points[::-1] ^ directions[:, bit]])
    return points * 2.0**-_BITS


def _directions(dimension: int, power: int) -> list[int]:
    """The first direction numbers of a dimension, each a binary fraction of so many bits."""
    polynomial, *numbers = _ROWS[dimension - 1] if dimension else (1, *[1] * power)
    degree = len(numbers)
    while len(numbers) < power:
        new = numbers[-degree]
        for back in range(1, degree + 1):
            if polynomial >> (degree - back) & 1:
                new ^= numbers[-back] << back
        numbers.append(new)
    return [number << (_BITS - 1 - place) for place, number in enumerate(numbers[:power])]
