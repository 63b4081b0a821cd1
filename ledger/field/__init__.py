"""The page for the scale table: a server for browsers, beside the commands.

One process serves one ledger. It writes only through `ledger.actions`, and only in its writer's
thread (`ledger.field.writer`); it reads games from what it keeps (`ledger.field.games`).

    serving    the socket, uvicorn, what the terminal says
    app        routes, and what every request and answer must have
    desk       what the routes share: the writer, the games, the news
    answers    JSON, and errors as JSON
    guard      host, origin, token, cookie, headers: before any handler
    rights     who may state and call what; admitting asks it for every route
    people     who is signed in; sessions keeps them, roles follows the ledger, limits counts tries
    bodies     what a page may send; schema tells it as OpenAPI
"""
