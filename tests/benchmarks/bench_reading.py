"""Speed of reading against pint's own parser, same run; pint's reads only what pint can, wrong or right."""

from time import perf_counter

from stilltank.units import read, ureg

ROWS = 5000
PLAIN = ["12.5 mL", "45 L", "1.8 mS/cm", "30 cm", "250 mg/L"]  # what both read alike
PEOPLE = ["6,2", "1 500 mL", "2-3 L", "3 lb 4 oz", "about 2 L", "1 1/2 US gal", "20 °C"]  # ours only


def seconds(function, texts):
    """Best of five runs over a log of that many rows."""
    rows = (texts * (ROWS // len(texts) + 1))[:ROWS]
    best = float("inf")
    for _ in range(5):
        start = perf_counter()
        for text in rows:
            function(text)
        best = min(best, perf_counter() - start)
    return best


def bench_reading():
    ours = seconds(read, PLAIN)
    peer = seconds(ureg.parse_expression, PLAIN)
    people = seconds(lambda text: read(text, "pH" if text == "6,2" else None), PEOPLE)
    print(f"\nplain texts: {ours / ROWS * 1e6:.0f} µs each, {ours / peer:.2f} of pint's parser")
    print(
        f"as people write: {people / ROWS * 1e6:.0f} µs each, {people / peer:.2f} of pint's parser on plain texts"
    )
