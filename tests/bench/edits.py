"""What a language server holds after many edits: names half typed, lines put in and taken out, structure broken and mended."""
import argparse
import pathlib

import driver

# Each is put in and taken out again, so that the text is the same after every pair: what grows then is not the text.
# Group 1 of the pattern ends where the words go in.
TYPED = (
    (r"^  (\S+-OCC): ", "X"),  # a name that others use
    (r"^  \S+-DEHUM: .*(driven-by: \{)", "inverted: true, "),  # a fact
    (r"^  \S+-HUM: (\{)", "["),  # a line that cannot be read
    (r"^  \S+-COOL1: .*(\})$", "\n  SPARE-1: {device: spare}"),  # an entry of its own
)


def resident_after(command, job, file, counts):
    """{count: MiB} of the server's memory after so many edits of one file of a job, once it is quiet."""
    options = argparse.Namespace(**{**driver.DEFAULTS, "cmd": [command, "serve"], "root": job, "encodings": ["utf-8"]})
    session = driver.Session(options)
    try:
        document = session.document(pathlib.Path(job) / file)
        session.open(document)
        places = [(place, words) for pattern, words in TYPED for place in document.spread(pattern, 10)]
        held, done = {}, 0
        for count in counts:
            while done < count:
                (line, _, column), words = places[done // 2 % len(places)]
                session.client.notify("textDocument/didChange", change(document, line, column, words, put=True))
                session.client.notify("textDocument/didChange", change(document, line, column, words, put=False))
                done += 2
                if done % 100 == 0:  # an answer shows that all before it was read
                    session.client.request("textDocument/hover", driver.at(document, (line, 3)))
                    session.client.backlog.clear()
            session.client.drain(session.quiet)
            held[count] = session.client.rss()[0]
        session.client.stop()
        return held
    finally:
        session.client.kill()


def change(document, line, column, words, put):
    """Parameters of an edit that puts words in at a place, or takes them out; they may hold line breaks."""
    document.version += 1
    start = document.position(line, column)
    end = start
    if not put:
        *before, last = words.split("\n")
        end = {"line": line + len(before), "character": document.units(last) + (0 if before else start["character"])}
    return {"textDocument": {"uri": document.uri, "version": document.version},
            "contentChanges": [{"range": {"start": start, "end": end}, "text": words if put else ""}]}
