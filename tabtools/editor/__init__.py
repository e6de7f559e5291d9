"""While typing: findings, repairs, layout and names for any editor that speaks the Language Server Protocol.

`places` turns places of a text into those of the protocol and back. `page` is one open file and what is
found in it. `answers` are pure functions from a page to what an editor shows; `hover` says what stands under
the cursor. `server` is the only module that talks: it keeps the open pages and answers requests. Nothing here
reads a configuration; the command line hands in how a text is checked.
"""
