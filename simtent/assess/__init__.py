"""Judgement: from a scenario and its result to findings. Nothing here simulates, draws or prints."""
