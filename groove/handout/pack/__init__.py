"""The pack: everything to post, as a folder and a zip."""
