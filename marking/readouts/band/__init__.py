"""The band that wraps round the socket."""
