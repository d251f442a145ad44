"""The joint search of the season model's parameters against published facts.

uv run python -m scripts.season_search search    # resumable; progress shown
uv run python -m scripts.season_search ship      # the draws that Breadline ships
uv run python -m scripts.season_search table     # model against fact, misfits left in
"""
